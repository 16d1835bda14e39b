"""What a net listens for: 54 pitches from MIDI 37 on, as it was trained. UNDER (environment) hears so many semitones lower with the same weights, as front-end.ts does for a low instrument."""
import os
UNDER=int(os.environ.get('UNDER','0')); P=54; LOW=37-UNDER; NBINS=261
