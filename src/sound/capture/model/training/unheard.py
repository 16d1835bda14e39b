"""Guitar notes the training never heard, for validation alone: Debian's `freepats` (GPL 2 or later with an exception for music), whose
samples go into no weights. usage: unheard.py FOLDER_OF_PAT_FILES OUT.npz. Families as in extract_samples.py; there is no long driven note and no
palm mute, so clean notes stand for the first and damped steel ones for the second."""
import struct, sys, numpy as np
from extract_samples import measured
FILES=(('025_Steel_Guitar',0),('024_Nylon_Guitar',1),('027_Clean_Electric_Guitar',2),('026_Jazz_Guitar',3))
def main(folder,out):
    bank=[];meta=[]
    def add(kind,x,fm,sr): bank.append(np.round(x*32000).astype('<i2')); meta.append((kind,fm,sr,len(x)))
    for name,kind in FILES:
        d=open(f'{folder}/{name}.pat','rb').read(); o=129+63+47   # a GF1 patch: header, instrument, layer, then samples behind 96 bytes each
        for _ in range(d[129+63+6]):
            size=struct.unpack('<I',d[o+8:o+12])[0]; sr=struct.unpack('<H',d[o+20:o+22])[0]; root=struct.unpack('<I',d[o+30:o+34])[0]/1000; modes=d[o+55]
            assert modes&3==1, 'signed 16 bits'
            x=np.frombuffer(d,'<i2',size//2,o+96).astype(np.float64); o+=96+size; k=int(round(69+12*np.log2(root/440))); x,fm,cents,st=measured(x,sr,k)
            print(f'{name} sr{sr} key{k} {cents:+6.1f}c strength {st:.2f} len {len(x)/sr:.2f}'); add(kind,x,fm,sr)
            if kind==2: add(4,x,fm,sr)
            if kind==0: add(5,x*np.exp(-np.arange(len(x))/sr*12),fm,sr)
    np.savez_compressed(out,bank=np.concatenate(bank),meta=np.array(meta,np.float64))
main(*sys.argv[1:3])
