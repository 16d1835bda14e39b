"""Train a checkpoint further with clips of our own player beside gen.py. What it says of onset, sounding and pitch is held to the checkpoint (all of it on gen.py, half of it on our clips); kinds of attack and flags are learnt anew; batch norms stand still."""
import argparse, os, sys, time, math, numpy as np, torch
sys.path.insert(0,os.path.dirname(os.path.abspath(__file__)))
import gen, render, own, common, loop
from model import Net
ap=argparse.ArgumentParser(); ap.add_argument('--out'); ap.add_argument('--secs',type=float,default=60); ap.add_argument('--seed',type=int,default=1); ap.add_argument('--init'); ap.add_argument('--bs',type=int,default=16)
ap.add_argument('--lr',type=float,default=6e-4); ap.add_argument('--c',type=int,default=64); ap.add_argument('--lrend',type=float,default=0.); ap.add_argument('--rich',type=float,default=1); ap.add_argument('--techw',type=float,default=1.); ap.add_argument('--bank'); ap.add_argument('--workers',type=int,default=15); ap.add_argument('--own'); ap.add_argument('--labelshare',type=float,default=.5); ap.add_argument('--ownbs',type=int,default=16); ap.add_argument('--maxsteps',type=int,default=10**9)
ap.add_argument('--wide',type=float,default=0); ap.add_argument('--comb',type=float,default=0); ap.add_argument('--compile',type=int,default=1)
a=ap.parse_args(); t00=time.time(); os.makedirs(a.out,exist_ok=True); gen.WIDE=a.wide
gpu=torch.cuda.is_available(); dev='cuda' if gpu else 'cpu'; d=np.load(a.bank); bank,meta=d['bank'],d['meta']
torch.manual_seed(a.seed); torch.backends.cuda.matmul.allow_tf32=True; torch.backends.cudnn.allow_tf32=True; torch.backends.cudnn.benchmark=True
dl=loop.batches(loop.Clips(meta,1_000_000*a.seed+10_000_000,a.bs,a.rich),a.workers)
OWN=own.load(a.own); RO=own.Rooms(dev,torch.Generator(device=dev).manual_seed(a.seed+7)); rg=np.random.default_rng(a.seed); R=render.Renderer(bank,meta,dev); R.comb=a.comb; FE=render.Feat(dev); g=torch.Generator(device=dev).manual_seed(a.seed)
def fresh(): n=Net(a.c).to(dev); n.load_state_dict(torch.load(a.init,map_location=dev)['ema']); return n.to(memory_format=torch.channels_last)
net=fresh(); teacher=fresh(); teacher.eval(); net.train()
for q in net.modules():
    if isinstance(q,torch.nn.BatchNorm2d): q.eval()
for q in teacher.parameters(): q.requires_grad_(False)
ema={k:v.clone().float() for k,v in net.state_dict().items()}
opt=torch.optim.AdamW(net.parameters(),lr=a.lr,weight_decay=1e-2,betas=(.9,.98),fused=gpu)
wait=0.
def make():
    global wait
    q0=time.time(); V,N,FX,Y,_=next(dl); wait+=time.time()-q0
    x=R.render(V,N,FX,len(FX),g); xo,Yo=own.parts(OWN[rg.integers(0,len(OWN),a.ownbs)]); x=torch.cat([x,RO(torch.from_numpy(xo).to(dev))]); Y=[torch.cat([y,torch.from_numpy(z)]) for y,z in zip(Y,Yo)]
    with torch.no_grad(): f=FE(x,torch.empty(len(x),device=dev).uniform_(-12,8,generator=g)).contiguous(memory_format=torch.channels_last)
    return f,[y.to(dev) for y in Y]
lab=torch.zeros(a.bs+a.ownbs,1,1,device=dev); lab[a.bs:]=a.labelshare
def whole(f,*Y):
    with torch.autocast(dev,dtype=torch.bfloat16): o,dead=net(f)
    with torch.no_grad(), torch.autocast(dev,dtype=torch.bfloat16): said,_=teacher(f)
    return loop.loss_of(o,dead,*Y,said=said,lab=lab,techw=a.techw,pitch_said=True)
run=loop.compiled(whole,make() if a.compile else None,opt,a.compile,print)
if gpu: torch.cuda.synchronize()
print('compiled %.0fs'%(time.time()-t00),flush=True)
ahead=common.Ahead(make,dev) if gpu else make
step=0; t1=time.time(); acc=torch.zeros(7,device=dev); nacc=0
while True:
    el=time.time()-t00
    if el>a.secs or step>=a.maxsteps: break
    frac=min(1,el/a.secs); lr=a.lr*min(1,(step+1)/200)*(a.lrend+(1-a.lrend)*(.5+.5*math.cos(math.pi*frac)))
    for q in opt.param_groups: q['lr']=max(lr,2e-6)
    f,Y=ahead(); loss,parts=run(f,*Y); opt.zero_grad(set_to_none=True); loss.backward(); torch.nn.utils.clip_grad_norm_(net.parameters(),5.); opt.step(); step+=1
    with torch.no_grad():
        loop.follow(ema,net,step,.999)
        acc+=torch.cat([loss.detach()[None],parts.detach()]); nacc+=1
    if step%200==0 or step in(20,100):
        v=(acc/nacc).cpu().numpy().round(3); t2=time.time(); print(f'{step} {t2-t00:.0f}s {(t2-t1)/nacc*1e3:.0f}ms/step wait {wait:.0f}s lr {lr:.1e} loss',*v,flush=True); acc.zero_(); nacc=0; t1=t2
if gpu: ahead.close()
loop.save(a.out+'/ckpt.pt',ema,net,step)
print('steps',step,'done %.0f'%(time.time()-t00),flush=True); loop.finish(dl)
