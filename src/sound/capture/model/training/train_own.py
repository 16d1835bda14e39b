"""Train a checkpoint further with clips of our own player beside gen.py. What it says of onset, sounding and pitch is held to the checkpoint (all of it on gen.py, half of it on our clips); kinds of attack and flags are learnt anew; batch norms stand still."""
import argparse, os, sys, time, math, numpy as np, torch, torch.nn.functional as F
sys.path.insert(0,os.path.dirname(os.path.abspath(__file__)))
import gen, own, common
from model import Net
ap=argparse.ArgumentParser(); ap.add_argument('--out'); ap.add_argument('--secs',type=float,default=60); ap.add_argument('--seed',type=int,default=1); ap.add_argument('--init'); ap.add_argument('--bs',type=int,default=16)
ap.add_argument('--lr',type=float,default=6e-4); ap.add_argument('--c',type=int,default=64); ap.add_argument('--lrend',type=float,default=0.); ap.add_argument('--rich',type=float,default=1); ap.add_argument('--techw',type=float,default=1.); ap.add_argument('--bank'); ap.add_argument('--workers',type=int,default=15); ap.add_argument('--own'); ap.add_argument('--labelshare',type=float,default=.5); ap.add_argument('--ownbs',type=int,default=16); ap.add_argument('--maxsteps',type=int,default=10**9)
ap.add_argument('--wide',type=float,default=0); ap.add_argument('--comb',type=float,default=0); ap.add_argument('--compile',type=int,default=1)
a=ap.parse_args(); t00=time.time(); os.makedirs(a.out,exist_ok=True); gen.WIDE=a.wide
dev='cuda'; d=np.load(a.bank); bank,meta=d['bank'],d['meta']
torch.manual_seed(a.seed); torch.backends.cuda.matmul.allow_tf32=True; torch.backends.cudnn.allow_tf32=True; torch.backends.cudnn.benchmark=True
class DS(torch.utils.data.IterableDataset):
    def __iter__(s):
        w=torch.utils.data.get_worker_info(); i=w.id if w else 0; n=w.num_workers if w else 1; k=i; torch.set_num_threads(1)
        while True:
            base=1_000_000*a.seed+10_000_000+k*a.bs; gen.RICH=bool(np.random.default_rng(base).random()<a.rich); V,N,FX,Y,R=gen.batch(range(base,base+a.bs),meta); yield V,N,FX,[torch.from_numpy(y) for y in Y]; k+=n
dl=iter(torch.utils.data.DataLoader(DS(),batch_size=None,num_workers=a.workers,prefetch_factor=6))
OWN=own.load(a.own); RO=own.Rooms(dev,torch.Generator(device=dev).manual_seed(a.seed+7)); rg=np.random.default_rng(a.seed); R=gen.Renderer(bank,meta,dev); R.comb=a.comb; FE=gen.Feat(dev); g=torch.Generator(device=dev).manual_seed(a.seed)
def fresh(): n=Net(a.c).to(dev); n.load_state_dict(torch.load(a.init,map_location=dev)['ema']); return n.to(memory_format=torch.channels_last)
net=fresh(); teacher=fresh(); teacher.eval(); net.train()
for q in net.modules():
    if isinstance(q,torch.nn.BatchNorm2d): q.eval()
for q in teacher.parameters(): q.requires_grad_(False)
ema={k:v.clone().float() for k,v in net.state_dict().items()}
opt=torch.optim.AdamW(net.parameters(),lr=a.lr,weight_decay=1e-2,betas=(.9,.98),fused=True)
wait=0.
def make():
    global wait
    q0=time.time(); V,N,FX,Y=next(dl); wait+=time.time()-q0
    x=R.render(V,N,FX,len(FX),g); xo,Yo=own.parts(OWN[rg.integers(0,len(OWN),a.ownbs)]); x=torch.cat([x,RO(torch.from_numpy(xo).to(dev))]); Y=[torch.cat([y,torch.from_numpy(z)]) for y,z in zip(Y,Yo)]
    with torch.no_grad(): f=FE(x,torch.empty(len(x),device=dev).uniform_(-12,8,generator=g)).contiguous(memory_format=torch.channels_last)
    return f,[y.to(dev) for y in Y]
lab=torch.zeros(a.bs+a.ownbs,1,1,device=dev); lab[a.bs:]=a.labelshare; bce=F.binary_cross_entropy_with_logits
def whole(f,on,so,of,ty,te,de,*_):
    with torch.autocast('cuda',dtype=torch.bfloat16): o,dl_=net(f)
    with torch.no_grad(), torch.autocast('cuda',dtype=torch.bfloat16): to,_=teacher(f)
    on=on.float()/255; de=de.float()/255; so_=so.float(); of=of.float()/200; to=to.float(); o=o.float(); ot=(on>.4); no=ot.sum()+1; ns=so_.sum()+1
    on=lab*on+(1-lab)*torch.sigmoid(to[:,0]); so=lab*so_+(1-lab)*torch.sigmoid(to[:,1]); of=torch.where(lab>.5,of,to[:,2])
    l1=(bce(o[:,0],on,reduction='none')*(1+3*on)).sum()/no*.25; l2=bce(o[:,1],so,reduction='none').sum()/ns; l3=(torch.abs(o[:,2]-of)*so_).sum()/ns*4
    l4=(F.cross_entropy(o[:,3:7],ty.long().clamp(max=3),reduction='none')*ot).sum()/no*.5
    tb=torch.stack([(te>>k)&1 for k in range(4)],1).float(); l5=(bce(o[:,7:11],tb,reduction='none')*so_[:,None]).sum()/ns*.5
    l6=bce(dl_.float(),de,reduction='none').mean()*2; return l1+l2+l3+a.techw*(l4+l5)+l6,torch.stack([l1,l2,l3,l4,l5,l6])
run=whole
if a.compile:
    f,Y=make()
    try: run=torch.compile(whole,dynamic=False); l,_=run(f,*Y); l.backward(); opt.zero_grad(set_to_none=True)
    except Exception as e: print('not compiled:',repr(e)[:400],flush=True); run=whole; opt.zero_grad(set_to_none=True)
    torch.cuda.synchronize(); print('compiled %.0fs'%(time.time()-t00),flush=True)
ahead=common.Ahead(make,dev)
step=0; t1=time.time(); acc=torch.zeros(7,device=dev); nacc=0
while True:
    el=time.time()-t00
    if el>a.secs or step>=a.maxsteps: break
    frac=min(1,el/a.secs); lr=a.lr*min(1,(step+1)/200)*(a.lrend+(1-a.lrend)*(.5+.5*math.cos(math.pi*frac)))
    for q in opt.param_groups: q['lr']=max(lr,2e-6)
    f,Y=ahead(); loss,parts=run(f,*Y); opt.zero_grad(set_to_none=True); loss.backward(); torch.nn.utils.clip_grad_norm_(net.parameters(),5.); opt.step(); step+=1
    with torch.no_grad():
        dc=min(.999,1-1/(step/10+1)); sd=net.state_dict(); ks=[k for k in sd if sd[k].is_floating_point()]; torch._foreach_lerp_([ema[k] for k in ks],[sd[k] for k in ks],1-dc)
        acc+=torch.cat([loss.detach()[None],parts.detach()]); nacc+=1
    if step%200==0 or step in(20,100):
        v=(acc/nacc).cpu().numpy().round(3); t2=time.time(); print(f'{step} {t2-t00:.0f}s {(t2-t1)/nacc*1e3:.0f}ms/step wait {wait:.0f}s lr {lr:.1e} loss',*v,flush=True); acc.zero_(); nacc=0; t1=t2
ahead.close()
sd=net.state_dict(); torch.save(dict(ema={k:(ema[k] if sd[k].is_floating_point() else sd[k]).cpu() for k in sd},cfg=net.cfg,step=step),a.out+'/ckpt.pt')
print('steps',step,'done %.0f'%(time.time()-t00),flush=True); sys.stdout.flush(); os._exit(0)
