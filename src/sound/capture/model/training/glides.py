"""Slides between notes that are both notes (gen.GLIDES); q is a source of dice of its own. A hand slides on from what has sounded for a while, into the next
note, struck there or not, or in from beside it, with one string or with all that sound. An arrival has an onset (kind slide, or plucked where it is struck); a slide in is one note."""
import numpy as np
SHORT=.09    # s; a start that is left sooner is a grace, and no note (label.graces)
def steps(q,bp,a,b,cur,step,most):
    """the curve bp and on from `cur` by `step` semitones between a and b: fret by fret, each crossed at once, or as one glide; at most `most` points"""
    n=int(abs(round(step))) or 1; bp=bp or [(0,cur)]
    if n>5 or len(bp)+2*n>most or q.random()<.25: return bp+[(a,cur),(b,cur+step)]
    w=min((b-a)/n*.7,q.uniform(.008,.035))
    for k in range(n): t=a+(b-a)*(k+1)/n; bp=bp+[(t-w,cur+step*k/n),(t,cur+step*(k+1)/n)]
    return bp
def fretted(s,e,m): return 1<=m-s.open[e.s]<=20
def free(e): return e.att==0 and not e.mute and not e.bp and not e.sin and e.vib is None
def slide(q,s,most):
    """makes slides of some notes of the song, in place"""
    ev=sorted(s.ev,key=lambda e:e.t); by={k:[e for e in ev if e.s==k] for k in range(6)}; after={}
    for es in by.values():
        for a,b in zip(es,es[1:]): after[id(a)]=b
    often=q.choice([.15,.35,.7],p=[.4,.35,.25]); i=0; new=[]
    while i<len(ev):
        g=[ev[i]]; i+=1
        while i<len(ev) and ev[i].t-g[0].t<.045: g.append(ev[i]); i+=1
        if q.random()>often: continue
        how=q.choice(4,p=[.42,.26,.18,.14]); k=int(q.choice([1,2,3,4,5,7],p=[.4,.33,.1,.07,.06,.04])*q.choice([-1,1])); d=min(e.e for e in g)-g[0].t; sd=np.exp(q.uniform(np.log(.025),np.log(.3)))
        x=q.uniform(SHORT,.24) if q.random()<.6 else q.uniform(SHORT,max(.1,d*.8)); lag=q.uniform(.04,.13); own=None
        for e in g:
            b=after.get(id(e)); bound=b is not None and b.att
            if not free(e): continue
            if how==0 and not bound and fretted(s,e,e.m) and fretted(s,e,e.m+k) and e.e-e.t>x+.09 and (b is None or b.t>e.t+x+.09):
                t=e.t+x; new.append((e.s,e.m+k,t,e.e,3,e.amp,min(sd,x-.06))); e.e=t
            elif how in (1,2) and b is not None and not bound and not b.mute and not b.sin and b.m!=e.m and abs(b.m-e.m)<=7 and own in (None,b.m-e.m) and fretted(s,e,e.m) and fretted(s,e,b.m) and -.02<b.t-e.e<.15 and b.t-e.t>SHORT+.03:
                if how==1 and (b.bp or b.vib is not None): continue
                own=b.m-e.m; e.e=b.t; z=min(sd,(b.t-e.t)*.7,b.t-e.t-.06)
                if how==1: b.att=3; b.slow=z
                else: a=b.t-e.t; e.bp=steps(q,[],a-z,a-.004,0.,float(b.m-e.m),most); e.out=(a-z,a)
            elif how==3 and fretted(s,e,e.m) and fretted(s,e,e.m+k) and abs(k)<4 and e.e-e.t>lag+.1: e.sin=(float(k),lag)
    for st,m,t,end,att,amp,z in new: s.add(st,m,t,end,att,amp).slow=z
