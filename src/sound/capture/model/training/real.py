"""What the strings of a played guitar do besides, and what its amplifier, room and microphone do (gen.REAL); q is a source of dice of its own."""
import numpy as np
from shape import DUR, PRE
REAL_FX='comp compt trem tremhz echo echot chorus clip agc early rumble'.split()
def played(q,s):
    """uneven strokes and weak notes, in place; and how far each string is out of tune, in semitones (up to 30 cents)"""
    up=q.uniform(0,3.5); uneven=q.uniform(0,3); weak=q.choice([0,.05,.15])
    for k,e in enumerate(sorted(s.ev,key=lambda e:e.t)):
        e.amp+=up*(k%2-.5)+q.normal(0,uneven)
        if not e.bp and q.random()<weak: e.amp-=q.uniform(3,9)
    for _ in range(q.poisson(2.)): s.noise.append((q.uniform(-PRE,DUR),10**(q.normal(-30,7)/20),q.uniform(.002,.05)))   # a sleeve, a key, a chair
    for e in s.ev:
        if q.random()<.12: s.noise.append((e.t-q.uniform(.01,.12),10**(q.normal(-32,6)/20),q.uniform(.004,.05)))       # the finger on its way over a wound string
    return np.clip(q.normal(0,q.choice([0,.04,.12],p=[.4,.4,.2]),6),-.3,.3)
def leftovers(q,s,vox,faint):
    """what sounds and is no note: neighbours that a bend drags along, a string that is left and rings an octave or a twelfth up under the finger
    that damps it, fingers that leave or land; a foot that taps (returned as sounds)"""
    drag=q.choice([0,.2,.5]); damp=q.choice([0,.1,.3]); leave=q.choice([0,.1,.3])
    for v in vox:
        st=v['st']
        if v['bp'] and q.random()<drag:
            k=st+int(q.choice([-1,1]))
            if 0<=k<6: t=v['t']+q.uniform(.3,1)*(v['e']-v['t']); faint.append((t,t+q.uniform(.04,.5),s.open[k]+int(q.choice([0,max(0,v['m0']-s.open[st])])),k,v['amp']+q.uniform(-30,-12)))
        if q.random()<damp: faint.append((v['e'],v['e']+q.uniform(.04,.3),v['m0']+int(q.choice([12,12,19,24])),st,v['amp']+q.uniform(-34,-14)))
        if q.random()<leave: faint.append((v['e']-q.uniform(0,.02),v['e']+q.uniform(.04,.4),s.open[st],st,v['amp']+q.uniform(-32,-13)))
    if q.random()>.15: return []
    out=[]; per=q.uniform(.32,.95); t=-PRE+q.uniform(0,per); fr=q.uniform(48,95); lv=q.uniform(-26,-8)
    while t<DUR:
        for f,g in ((fr,0.),(fr*q.uniform(1.6,2.6),-8.)): out.append(dict(t=t,e=t+.2,m0=0,m=69+12*np.log2(f/440),bp=[],vib=None,amp=lv+g+q.normal(0,2),att=9,mute=False,reltau=.03,seg=0,st=0,T=q.uniform(.05,.2)))
        t+=per+q.normal(0,.012)
    return out
def real_fx(q,on):
    """compressor (ratio, seconds), tremolo (depth, Hz), echo (dB, seconds), chorus (ms), clipped input (dB over), gain that follows (share), early reflections (dB), rumble (dB)"""
    z=dict.fromkeys(REAL_FX,0.)
    if not on: return z
    if q.random()<.35: z.update(comp=q.uniform(1.5,8),compt=np.exp(q.uniform(np.log(.01),np.log(.15))))
    if q.random()<.06: z.update(trem=q.uniform(.15,.6),tremhz=q.uniform(3,8))
    if q.random()<.12: z.update(echo=q.uniform(-26,-10),echot=q.uniform(.07,.5))
    if q.random()<.08: z.update(chorus=q.uniform(.3,2.5))
    if q.random()<.08: z.update(clip=q.uniform(1,9))
    if q.random()<.12: z.update(agc=q.uniform(.2,.8))
    if q.random()<.35: z.update(early=q.uniform(-16,-3))
    if q.random()<.15: z.update(rumble=q.uniform(-40,-14))
    return z
