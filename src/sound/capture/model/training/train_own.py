"""Train a checkpoint further with clips of our own player beside gen.py. What it says of onset, sounding and pitch is held to the checkpoint (all of it on gen.py, half of it on our clips); kinds of attack and flags are learnt anew; batch norms stand still."""
import argparse, os, sys, time, math, json, numpy as np, torch, torch.nn.functional as F
sys.path.insert(0,os.path.dirname(os.path.abspath(__file__)))
import gen, own, decode as D
from model import Net
ap=argparse.ArgumentParser(); ap.add_argument('--out'); ap.add_argument('--secs',type=float,default=60); ap.add_argument('--seed',type=int,default=1); ap.add_argument('--init'); ap.add_argument('--bs',type=int,default=64)
ap.add_argument('--lr',type=float,default=2e-3); ap.add_argument('--c',type=int,default=64); ap.add_argument('--lrend',type=float,default=0.); ap.add_argument('--rich',type=int,default=0); ap.add_argument('--techw',type=float,default=1.); ap.add_argument('--bank'); ap.add_argument('--real',nargs='*',default=[]); ap.add_argument('--workers',type=int,default=15); ap.add_argument('--val',type=int,default=48); ap.add_argument('--own'); ap.add_argument('--labelshare',type=float,default=.5); ap.add_argument('--ownval'); ap.add_argument('--ownbs',type=int,default=16); ap.add_argument('--maxsteps',type=int,default=10**9)
a=ap.parse_args(); gen.RICH=bool(a.rich); t00=time.time(); os.makedirs(a.out,exist_ok=True)
dev='cuda' if torch.cuda.is_available() else 'cpu'; d=np.load(a.bank); bank,meta=d['bank'],d['meta']
torch.manual_seed(a.seed); torch.backends.cuda.matmul.allow_tf32=True; torch.backends.cudnn.allow_tf32=True; torch.backends.cudnn.benchmark=True
class DS(torch.utils.data.IterableDataset):
    def __iter__(s):
        w=torch.utils.data.get_worker_info(); i=w.id if w else 0; n=w.num_workers if w else 1; k=i; torch.set_num_threads(1)
        while True:
            base=1_000_000*a.seed+10_000_000+k*a.bs; V,N,FX,Y,R=gen.batch(range(base,base+a.bs),meta); yield V,N,FX,[torch.from_numpy(y) for y in Y]; k+=n
dl=iter(torch.utils.data.DataLoader(DS(),batch_size=None,num_workers=a.workers,prefetch_factor=4 if a.workers else 2)) if a.workers else iter(DS())
OWN=own.load(a.own) if a.own else None; RO=own.Rooms(dev,torch.Generator(device=dev).manual_seed(a.seed+7)); rg=np.random.default_rng(a.seed); R=gen.Renderer(bank,meta,dev); FE=gen.Feat(dev); g=torch.Generator(device=dev).manual_seed(a.seed)
net=Net(a.c).to(dev).to(memory_format=torch.channels_last)
if a.init: net.load_state_dict(torch.load(a.init,map_location=dev)['ema'])
teacher=Net(a.c).to(dev).to(memory_format=torch.channels_last); teacher.load_state_dict(torch.load(a.init,map_location=dev)['ema']); teacher.eval()
def frozen(m):
    m.train()
    for q in m.modules():
        if isinstance(q,torch.nn.BatchNorm2d): q.eval()
frozen(net)
ema={k:v.clone().float() for k,v in net.state_dict().items()}
print('params',sum(p.numel() for p in net.parameters()),dev,flush=True)
opt=torch.optim.AdamW(net.parameters(),lr=a.lr,weight_decay=1e-2,betas=(.9,.98))
def post(net,x,jit=None):
    with torch.no_grad():
        o,de=net(FE(x,jit)); o=o.float(); return torch.sigmoid(o[:,0]),torch.sigmoid(o[:,1]),o[:,2].clamp(-.6,.6),torch.softmax(o[:,3:7],1).permute(0,2,3,1),torch.sigmoid(o[:,7:11]).permute(0,2,3,1),torch.sigmoid(de.float())
def wav(path):
    import wave; w=wave.open(path); x=np.frombuffer(w.readframes(w.getnframes()),'<i2').astype(np.float32)/32768
    if w.getframerate()==44100:
        import scipy.signal as ss; x=ss.resample_poly(x,1,2).astype(np.float32)
    return x
reals=[(p,torch.tensor(wav(p),device=dev)[None],D.load_jams(p.replace('_mic.wav','.jams'))) for p in a.real]
def evalreal(net,ths=(.3,.4,.5,.6,.7)):
    for p,x,ref in reals:
        q=[z[0].cpu().numpy() for z in post(net,x)[:5]]; o=[]
        for th in ths:
            e=D.decode(*q,on=th); m=len(D.match([(r[0],r[1]) for r in ref],[(n['t'],n['p']) for n in e])); o.append('%.2f:%.3f(%d)'%(th,D.prf(m,len(ref),len(e))[0],len(e)))
        print('  real',os.path.basename(p)[:18],len(ref),*o,flush=True)
step=0; t0=time.time(); acc=np.zeros(7); nacc=0; tg=tr=0; lastev=0
while True:
    el=time.time()-t00
    if el>a.secs or step>=a.maxsteps: break
    frac=min(1,el/a.secs); lr=a.lr*min(1,(step+1)/200)*(a.lrend+(1-a.lrend)*(.5+.5*math.cos(math.pi*frac)))
    for q in opt.param_groups: q['lr']=max(lr,1e-5)
    q0=time.time(); V,N,FX,Y=next(dl); tg+=time.time()-q0
    x=R.render(V,N,FX,len(FX),g)
    if OWN is not None:
        xo,Yo=own.parts(OWN[rg.integers(0,len(OWN),a.ownbs)]); x=torch.cat([x,RO(torch.from_numpy(xo).to(dev))]); Y=[torch.cat([y,torch.from_numpy(z)]) for y,z in zip(Y,Yo)]
    f=FE(x,torch.empty(len(x),device=dev).uniform_(-12,8,generator=g))
    on,so,of,ty,te,de=[y.to(dev,non_blocking=True) for y in Y]; on=on.float()/255; de=de.float()/255; so=so.float(); of=of.float()/200
    with torch.autocast(dev,dtype=torch.bfloat16,enabled=dev=='cuda'): o,dl_=net(f.contiguous(memory_format=torch.channels_last))
    with torch.no_grad(), torch.autocast(dev,dtype=torch.bfloat16,enabled=dev=='cuda'): to,_=teacher(f.contiguous(memory_format=torch.channels_last))
    to=to.float(); ot=(on>.4); no=ot.sum()+1; lab=torch.zeros(len(x),1,1,device=dev); lab[len(FX):]=a.labelshare
    so_=so; on=lab*on+(1-lab)*torch.sigmoid(to[:,0]); so=lab*so+(1-lab)*torch.sigmoid(to[:,1]); of=torch.where(lab>.5,of,to[:,2])
    o=o.float(); bce=F.binary_cross_entropy_with_logits; ns=so_.sum()+1
    l1=(bce(o[:,0],on,reduction='none')*(1+3*on)).sum()/no*.25; l2=bce(o[:,1],so,reduction='none').sum()/ns; l3=(torch.abs(o[:,2]-of)*so_).sum()/ns*4
    l4=(F.cross_entropy(o[:,3:7],ty.long().clamp(max=3),reduction='none')*ot).sum()/no*.5
    tb=torch.stack([(te>>k)&1 for k in range(4)],1).float(); l5=(bce(o[:,7:11],tb,reduction='none')*so_[:,None]).sum()/ns*.5
    l6=bce(dl_.float(),de,reduction='none').mean()*2
    loss=l1+l2+l3+a.techw*(l4+l5)+l6; opt.zero_grad(set_to_none=True); loss.backward(); torch.nn.utils.clip_grad_norm_(net.parameters(),5.); opt.step(); step+=1
    with torch.no_grad():
        dc=min(.999,1-1/(step/10+1)); sd=net.state_dict()
        ks=[k for k in sd if sd[k].is_floating_point()]
        if hasattr(torch,'_foreach_lerp_'): torch._foreach_lerp_([ema[k] for k in ks],[sd[k] for k in ks],1-dc)
        else: [ema[k].lerp_(sd[k],1-dc) for k in ks]
    if step%10==0: acc+=np.array([float(z.detach()) for z in (loss,l1,l2,l3,l4,l5,l6)]); nacc+=1
    if step%200==0 or step==20:
        print(f'{step} {time.time()-t00:.0f}s {(time.time()-t0)/step*1e3:.0f}ms/step wait {tg:.0f}s loss',*(acc/nacc).round(3),flush=True); acc[:]=0; nacc=0
    if a.real and step%800==0:
        net2=Net(a.c).to(dev); net2.load_state_dict({k:(ema[k] if k in ema and ema[k].dtype.is_floating_point else v) for k,v in net.state_dict().items()}); net2.eval(); evalreal(net2)
net2=Net(a.c).to(dev); sd=net.state_dict(); net2.load_state_dict({k:(ema[k] if sd[k].is_floating_point() else sd[k]) for k in sd}); net2.eval()
torch.save(dict(ema={k:v.cpu() for k,v in net2.state_dict().items()},cfg=net.cfg,step=step),a.out+'/ckpt.pt')
evalreal(net2,(.2,.3,.4,.5,.6,.7,.8))
def ownval(net,name):
    if not a.ownval: return
    W=own.load(a.ownval); RV=own.Rooms(dev,torch.Generator(device=dev).manual_seed(5)); tot={}; tyc=np.zeros((4,4),int)
    for b in range(0,len(W),24):
        xo,Y=own.parts(W[b:b+24]); q=[z.cpu().numpy() for z in post(net,RV(torch.from_numpy(xo).to(dev)))[:5]]
        for i in range(len(xo)):
            on,ty=Y[0][i].astype(int),Y[3][i]; ref=[]
            for r in range(own.P):
                c=on[:,r]
                for t in np.where(c>140)[0]:
                    if c[t]>=c[max(0,t-1)] and c[t]>c[min(own.T-1,t+1)] and 6<t<505: ref.append((t*gen.HOP/gen.SR,r+37,int(ty[t,r])))
            for th in (.3,.5,.7):
                e=[n for n in D.decode(*[z[i] for z in q],on=th) if .06<n['t']<5.87]; mm=D.match([(r[0],r[1]) for r in ref],[(n['t'],n['start']) for n in e],.05,.7); t=tot.setdefault(th,np.zeros(3)); t+=[len(mm),len(ref),len(e)]
                if th==.5:
                    for u,v in mm: tyc[ref[u][2],e[v]['type']]+=1
    for th,t in tot.items(): print(name,'own th',th,'F %.3f P %.3f R %.3f'%D.prf(*t),flush=True)
    print(tyc,flush=True)
net3=Net(a.c).to(dev)
if a.init: net3.load_state_dict(torch.load(a.init,map_location=dev)['ema']); net3.eval(); ownval(net3,'before')
ownval(net2,'after')
gen.RICH=False
# synthetic validation: fixed seeds, thresholds chosen here
gv=torch.Generator(device=dev).manual_seed(999); tot={}; errs=[]; tyc=np.zeros((4,4),int)
for b in range(0,a.val,24):
    V,N,FX,Y,Rf=gen.batch(range(b,b+min(24,a.val-b)),meta); x=R.render(V,N,FX,len(FX),gv); q=[z.cpu().numpy() for z in post(net2,x)[:5]]
    for i in range(len(FX)):
        ref=[r for r in Rf[i] if .05<r[0]<gen.DUR-.1]
        for th in (.2,.3,.4,.5,.6,.7,.8):
            e=D.decode(*[z[i] for z in q],on=th); e=[n for n in e if .0<n['t']<gen.DUR-.05]; mm=D.match([(r[0],r[2]) for r in ref],[(n['t'],n['start']) for n in e],.05,.7); t=tot.setdefault(th,np.zeros(3)); t+=[len(mm),len(ref),len(e)]
            if th==.5:
                for u,v in mm: errs.append(e[v]['t']-ref[u][0]); tyc[ref[u][3],e[v]['type']]+=1
for th,t in tot.items(): print('synth th',th,'F %.3f P %.3f R %.3f'%D.prf(*t))
print('onset err ms median %.1f mad %.1f'%(np.median(errs)*1e3,np.median(np.abs(errs))*1e3)); print(tyc); print('done',time.time()-t00,flush=True)
