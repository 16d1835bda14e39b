"""What a net listens for: 54 pitches from LOW on, MIDI 37 as it was trained at first. `hear` moves them lower with the same weights, as network-shape.ts does for a low instrument."""
import math
P=54; NBINS=261; LOW=37
SR=22050; HOP=256; T=512; L=T*HOP; PRE=0.75; DUR=L/SR   # a clip, and what is played before it
def first(string):
    """the lowest row where this is the pitch of the lowest string; twin of firstRow in network-shape.ts"""
    return max(27,min(37,math.floor(string)-1))
def hear(low):
    global LOW; LOW=low
def windows(low):
    """of a bass the long spectrum is longer; twin of BASS in network-shape.ts"""
    return (8192 if low<32 else 4096,1024)
