"""Weights between two exported models: average.py C.bin E.bin SHARE OUT.bin; SHARE is that of the second."""
import sys, numpy as np
c,e=(np.fromfile(p,'<f2').astype(np.float32) for p in sys.argv[1:3]); s=float(sys.argv[3])
((1-s)*c+s*e).astype('<f2').tofile(sys.argv[4])
