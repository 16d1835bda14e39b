"""Models beside one another on clips nothing was trained on, the same for all. judge.py --bank B --unheard U --own FOLDER NAME=MODEL …
MODEL: a checkpoint, exported weights (.bin), or A.pt*0.6+B.pt*0.4. Sets: gen.py as it was (seeds from 0), the same with more techniques, the same
with recorded notes of another source (unheard.py), low instruments, our own player's, the same on strings tuned down
(--ownlow), notes of another source as they are when played and recorded (gen.REAL), bends with a note beside them (gen.BESIDE), and slides (gen.GLIDES). Notes: onset 50 ms, first pitch 70 cents, threshold 0.5."""
import argparse, os, sys, json, time, multiprocessing as mp, numpy as np, torch
sys.path.insert(0,os.path.dirname(os.path.abspath(__file__)))
import gen, render, own, common, shape, decode as D, techeval as TE
from model import Net
SETS=None; CUR=None
TH=(.35,.5,.65)
def plain(i):
    shape.hear(CUR[3][i]); R,q=CUR[1][i],[z[i] for z in CUR[0]]; q,sl=q[:5],q[5]; strings=[]; sure=[]; t=np.zeros((len(TH),3)); ref=[r for r in R if .05<r[0]<gen.DUR-.1]; kinds=np.zeros((4,3))
    for k,th in enumerate(TH):
        e=[n for n in D.decode(*q,on=th) if n['t']<gen.DUR-.05]; m=D.match([(r[0],r[2]) for r in ref],[(n['t'],n['start']) for n in e],.05,.7); t[k]+=[len(m),len(ref),len(e)]
        if th==.5:
            for r in ref: kinds[r[3],1]+=1
            hit={v for _,v in m}; sure=[(n['v'],j in hit) for j,n in enumerate(e)]
            for n in e: kinds[n['type'],2]+=1
            for u,v in m:
                kinds[ref[u][3],0]+=ref[u][3]==e[v]['type']
                if len(ref[u])>9 and ref[u][9]<6: strings.append((int(round(ref[u][2])),ref[u][9],np.mean([sl[a,b] for a,b in e[v]['rows'][:STRING_FRAMES]],0)))
    return t,kinds,TE.clip(q,R) if CUR[2] else {},strings,sure
STRING_FRAMES=24   # as decode.ts
def told(z):
    """how often the likeliest string is the one played, beside the commonest of its pitch; and the mean surprise (nats) at some temperatures, beside that of the pitch alone"""
    if not z: return ''
    y=np.array([k[1] for k in z]); l=np.stack([k[2] for k in z]).astype(np.float64); by={}
    for p,k,_ in z: by.setdefault(p,np.zeros(6))[k]+=1
    prior=np.mean([by[p].argmax()==k for p,k,_ in z]); pn=-np.mean([np.log(by[p][k]/by[p].sum()) for p,k,_ in z])
    def nll(T): x=l/T; x=x-np.log(np.exp(x).sum(1,keepdims=True)); return -x[np.arange(len(y)),y].mean()
    return 'strings %.3f (pitch alone %.3f) of %d; surprise %s (pitch alone %.3f)'%((l.argmax(1)==y).mean(),prior,len(y),' '.join('T%.1f %.3f'%(T,nll(T)) for T in (.7,1,1.4,2,3)),pn)
EDGES=(.5,.6,.7,.8,.9,.95,.98,1.001)
def reliable(z):
    """how often what was heard had been played, beside how sure it was said to be"""
    c=np.array([k[0] for k in z]); r=np.array([k[1] for k in z],float); o=[]
    for a,b in zip(EDGES,EDGES[1:]):
        k=(c>=a)&(c<b)
        if k.any(): o.append('%.2f:%.3f/%d'%(c[k].mean(),r[k].mean(),k.sum()))
    return 'sure '+' '.join(o)
def main():
    global CUR
    ap=argparse.ArgumentParser(); ap.add_argument('--bank'); ap.add_argument('--unheard'); ap.add_argument('--own'); ap.add_argument('--n',type=int,default=256); ap.add_argument('--nrich',type=int,default=128); ap.add_argument('--nlow',type=int,default=0,help='clips on low instruments'); ap.add_argument('--nreal',type=int,default=0,help='clips as played and recorded'); ap.add_argument('--nbeside',type=int,default=0,help='clips with notes beside bends'); ap.add_argument('--nglides',type=int,default=0,help='clips with slides'); ap.add_argument('--ownlow'); ap.add_argument('--out'); ap.add_argument('--procs',type=int,default=15); ap.add_argument('models',nargs='+'); a=ap.parse_args()
    dev='cuda' if torch.cuda.is_available() else 'cpu'; t0=time.time(); sets={}
    jobs=[]
    for name,file,first,n,rich,sampled,real,beside,slid in (('synthetic',a.bank,0,a.n,False,.5,0.,0.,0.),('techniques',a.bank,500_000,a.nrich,True,.5,0.,0.,0.),('unheard',a.unheard,600_000,a.n,False,1.,0.,0.,0.),('low',a.bank,700_000,a.nlow,False,.5,0.,0.,0.),('real',a.unheard,800_000,a.nreal,False,1.,1.,0.,0.),('beside',a.unheard,900_000,a.nbeside,True,.7,0.,1.,0.),('glides',a.unheard,1_000_000,a.nglides,False,.7,0.,0.,1.)):
        if file: jobs+=[(name,file,s,min(16,first+n-s),rich,sampled,real,beside,slid) for s in range(first,first+n,16)]
    with mp.Pool(a.procs) as pool: made=pool.map(clips,jobs,chunksize=1)
    FE=render.Feat(dev)
    for (name,file,*_),(V,N,FX,Rf,low) in zip(jobs,made):
        if name not in sets: d=np.load(file); sets[name]=dict(x=[],R=[],low=[],r=render.Renderer(d['bank'],d['meta'],dev),g=torch.Generator(device=dev).manual_seed(999),tech=name in('techniques','beside','glides'))
        s=sets[name]; s['x'].append(s['r'].render(V,N,FX,len(FX),s['g'])); s['R']+=Rf; s['low']+=[low]*len(Rf)
    for s in sets.values(): s['x']=torch.cat(s['x']); s.pop('r')
    if a.own:
        sets['own']=ours({37:own.load(a.own)},dev)
    if a.ownlow: sets['ownlow']=ours(own.load_low(a.ownlow),dev)
    print('made',{k:(len(s['R']),sum(map(len,s['R']))) for k,s in sets.items()},'%.0fs'%(time.time()-t0),flush=True); res={}
    for spec in a.models:
        name,path=spec.split('=',1)
        if '*' in path:
            ps=[p.split('*') for p in path.split('+')]; k=common.mean([p for p,_ in ps],[float(s) for _,s in ps]); net=Net(**k['cfg']); net.load_state_dict(k['ema']); net.eval()
        else: net=common.load(path)
        net=net.to(dev); r=res[name]={}
        for sn,s in sets.items():
            q=[[z for j,z in enumerate(common.post(net,FE,s['x'][k:e],low=s['low'][k])) if j!=5] for k,e in runs(s['low'])]; CUR=([np.concatenate([z[j].cpu().numpy() for z in q]) for j in range(6)],s['R'],s['tech'],s['low'])
            with mp.Pool(a.procs) as pool: o=pool.map(plain,range(len(s['R'])),chunksize=4)
            t=sum(z[0] for z in o); k=sum(z[1] for z in o); v=r[sn]=dict(F={str(th):round(D.prf(*t[i])[0],4) for i,th in enumerate(TH)},P=round(D.prf(*t[1])[1],4),R=round(D.prf(*t[1])[2],4),kinds=[round(float(D.prf(*z)[0]),3) for z in k],refs=k[:,1].astype(int).tolist())
            if s['tech']:
                c={}
                for z in o:
                    for n,u in z[2].items(): c[n]=c.get(n,0)+u
                v['tech']={n:round(float(D.prf(*u)[0]),3) for n,u in sorted(c.items())}; v['mean']=round(float(np.mean([D.prf(*u)[0] for n,u in c.items() if n not in('notes','width')])),4)
            print('%-8s %-10s F'%(name,sn),*['%.4f'%z for z in v['F'].values()],'P %.3f R %.3f'%(v['P'],v['R']),'kinds',v['kinds'],('tech %.3f %s'%(v['mean'],v['tech'])) if 'tech' in v else '',told([k for z in o for k in z[3]]),reliable([k for z in o for k in z[4]]),flush=True)
    if a.out: json.dump(res,open(a.out,'w'),indent=1)
    print('judged %.0fs'%(time.time()-t0),flush=True)
def clips(j):
    name,file,s,n,rich,sampled,real,beside,slid=j; gen.RICH=rich; gen.SAMPLED=sampled; gen.WIDE=0.; gen.REAL=real; gen.BESIDE=beside; gen.GLIDES=slid; seeds=range(s,s+n); meta=np.load(file)['meta']
    (V,N,FX,Y,R),low=gen.lower(s//16%len(gen.LOWS),seeds,meta) if name=='low' else (gen.batch(seeds,meta),37); return V,N,FX,R,low
def runs(low):
    """from and to of at most 16 clips that are heard from the same pitch on"""
    o=[];k=0
    while k<len(low):
        e=k
        while e<len(low) and e<k+16 and low[e]==low[k]: e+=1
        o.append((k,e)); k=e
    return o
def ours(by,dev):
    RV=own.Rooms(dev,torch.Generator(device=dev).manual_seed(5)); xs=[];Rs=[];lows=[]
    for low,W in by.items():
        for k in range(0,len(W),16):
            xo,Y=own.parts(W[k:k+16]); xs.append(RV(torch.from_numpy(xo).to(dev))); Rs+=[refs(Y[0][i].astype(int),Y[2][i],Y[3][i],Y[6][i],low) for i in range(len(xo))]; lows+=[low]*len(xo)
    return dict(x=torch.cat(xs),R=Rs,low=lows,tech=False)
def refs(on,of,ty,sg,low):
    """notes out of the labels of one clip of our player: time, -, row, kind, …, string"""
    o=[]
    for r in range(own.P):
        c=on[:,r]
        for t in np.where(c>140)[0]:
            if c[t]>=c[max(0,t-1)] and c[t]>c[min(own.T-1,t+1)]: g=sg[t:t+5,r]; g=g[g<6]; o.append((t*gen.HOP/gen.SR,0,r+low,int(min(3,ty[t,r])),False,False,False,False,[],int(g[0]) if len(g) else 255))
    return o
if __name__=='__main__': main()
