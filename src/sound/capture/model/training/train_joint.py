"""Train further from the weights that are shipped, on gen.py and on clips of our own player at once; one process a GPU:
python3 -m torch.distributed.run --standalone --nproc_per_node N train_joint.py --out DIR --secs 500 --upto .4 [--resume DIR/state.pt] …
Gradients are averaged over the processes; the first one keeps the time. What is said of onset and sounding of our own clips is held
to the weights it began from (--labelshare); everything else is learnt from labels, strings too. --lowbs clips on a low instrument and --ownlowbs of our own
player on strings tuned down (--ownlow) are heard from their own lowest row on; --real: gen.REAL; --beside: gen.BESIDE; --glides: gen.GLIDES."""
import argparse, os, sys, time, math, numpy as np, torch, torch.distributed as dist
sys.path.insert(0,os.path.dirname(os.path.abspath(__file__)))
import gen, render, own, common, loop
ap=argparse.ArgumentParser(); ap.add_argument('--out'); ap.add_argument('--secs',type=float,default=60); ap.add_argument('--since',type=float,default=0.,help='share of the descent behind us'); ap.add_argument('--upto',type=float,default=1.,help='share of it at the end'); ap.add_argument('--seed',type=int,default=1); ap.add_argument('--init'); ap.add_argument('--resume')
ap.add_argument('--bs',type=int,default=48); ap.add_argument('--ownbs',type=int,default=16); ap.add_argument('--lr',type=float,default=1.5e-3); ap.add_argument('--techw',type=float,default=2.); ap.add_argument('--stringw',type=float,default=.3); ap.add_argument('--rich',type=float,default=.5); ap.add_argument('--wide',type=float,default=.15); ap.add_argument('--comb',type=float,default=.6)
ap.add_argument('--labelshare',type=float,default=.6); ap.add_argument('--bank'); ap.add_argument('--own'); ap.add_argument('--workers',type=int,default=15); ap.add_argument('--maxsteps',type=int,default=10**9); ap.add_argument('--compile',type=int,default=1); ap.add_argument('--emad',type=float,default=.999)
ap.add_argument('--lowbs',type=int,default=0); ap.add_argument('--ownlow'); ap.add_argument('--ownlowbs',type=int,default=4); ap.add_argument('--real',type=float,default=0.); ap.add_argument('--beside',type=float,default=0.); ap.add_argument('--glides',type=float,default=0.); ap.add_argument('--bendw',type=float,default=0.); ap.add_argument('--genshare',type=float,default=1.,help='--labelshare of gen.py')
a=ap.parse_args(); t00=time.time(); os.makedirs(a.out,exist_ok=True); gen.WIDE=a.wide; gen.REAL=a.real; gen.BESIDE=a.beside; gen.GLIDES=a.glides
rank=int(os.environ.get('LOCAL_RANK',0)); world=int(os.environ.get('WORLD_SIZE',1)); gpu=torch.cuda.is_available(); dev=torch.device('cuda',rank) if gpu else torch.device('cpu')
say=lambda *x:print(*x,flush=True) if rank==0 else None
d=np.load(a.bank); bank,meta=d['bank'],d['meta']; seed=a.seed*100+rank
torch.manual_seed(seed); torch.backends.cuda.matmul.allow_tf32=True; torch.backends.cudnn.allow_tf32=True; torch.backends.cudnn.benchmark=True
dl=loop.batches(loop.Clips(meta,10_000_000*(a.seed+1),a.bs,a.rich,a.lowbs,rank,world),a.workers)
if gpu: torch.cuda.set_device(dev)
if world>1: dist.init_process_group('nccl' if gpu else 'gloo',**(dict(device_id=dev) if gpu else {}))
g=torch.Generator(device=dev).manual_seed(seed); R=render.Renderer(bank,meta,dev); R.comb=a.comb; FE=render.Feat(dev)
OWN=own.load(a.own); RO=own.Rooms(dev,torch.Generator(device=dev).manual_seed(seed+7)); rg=np.random.default_rng(seed)
DEEP=own.load_low(a.ownlow) if a.ownlow else {}; rows=sorted(DEEP); odds=np.array([len(DEEP[k]) for k in rows],float)
wait=0.
def make():
    global wait
    q0=time.time(); V,N,FX,Y,low=next(dl); wait+=time.time()-q0
    x=R.render(V,N,FX,len(FX),g); parts=[(x[:a.bs],37)]+([(x[a.bs:],low)] if a.lowbs else []); Y=[Y]
    for W,n,row in [(OWN,a.ownbs,37)]+([(DEEP[k],a.ownlowbs,k) for k in [int(rg.choice(rows,p=odds/odds.sum()))]] if rows else []):
        xo,Yo=own.parts(W[rg.integers(0,len(W),n)]); parts.append((RO(torch.from_numpy(xo).to(dev)),row)); Y.append([torch.from_numpy(z) for z in Yo])
    with torch.no_grad(): f=torch.cat([FE(x,torch.empty(len(x),device=dev).uniform_(-12,8,generator=g),row) for x,row in parts]).contiguous(memory_format=torch.channels_last)
    return f,[torch.cat(y).to(dev) for y in zip(*Y)]
teacher=common.load(a.init).to(dev).to(memory_format=torch.channels_last)
for q in teacher.parameters(): q.requires_grad_(False)
f,Y=make(); st=torch.load(a.resume,map_location=dev) if a.resume else None
if st: net=common.fresh(64).to(dev); net.load_state_dict(st['net'])
else:
    torch.manual_seed(a.seed); net=common.wider(a.init).to(dev); r=net.eval()(f[:4])[0]; common.thaw(net,f); r2=net.eval()(f[:4])[0]; say('thawed, moved by at most %.4f'%float((r2-r).detach().abs().max()))
    if world>1:
        for v in net.state_dict().values(): dist.broadcast(v,0)
net=net.to(memory_format=torch.channels_last); net.train(); ema={k:v.clone().float() for k,v in (st['ema'] if st else net.state_dict()).items()}
ps=[q for q in net.parameters()]; opt=torch.optim.AdamW(ps,lr=a.lr,weight_decay=1e-2,betas=(.9,.98),fused=gpu)
if st: opt.load_state_dict(st['opt'])
step=st['step'] if st else 0; say('params',sum(p.numel() for p in ps),'processes',world,torch.cuda.get_device_name() if gpu else 'cpu','own clips',len(OWN))
lab=torch.full((len(f),1,1),a.labelshare,device=dev); lab[:a.bs]=a.genshare; lab[a.bs:a.bs+a.lowbs]=1
def whole(f,*Y):
    with torch.autocast(dev.type,dtype=torch.bfloat16): o,dead=net(f)
    with torch.no_grad(), torch.autocast(dev.type,dtype=torch.bfloat16): said,_=teacher(f)
    return loop.loss_of(o,dead,*Y,said=said,lab=lab,techw=a.techw,stringw=a.stringw,bendw=a.bendw)
run=loop.compiled(whole,(f,Y),opt,a.compile,say)
if gpu: torch.cuda.synchronize()
say('compiled %.0fs'%(time.time()-t00))
if world>1: dist.barrier()
tb0=time.time()-t00
ahead=common.Ahead(make,dev) if gpu else make
def where():
    """share of the descent that is behind us, as the first process sees it; over 1 when time is up"""
    w=min(1.,max(0.,(time.time()-t00-tb0)/(a.secs-tb0))); v=torch.tensor([w if time.time()-t00<a.secs else 2.],device=dev)
    if world>1: dist.broadcast(v,0)
    return float(v)
n0=step; t1=time.time(); acc=torch.zeros(8,device=dev); nacc=0
while step-n0<a.maxsteps:
    if (step-n0)%25==0:
        w=where()
        if w>1: break
        x=a.since+(a.upto-a.since)*w; lr=a.lr*(.5+.5*math.cos(math.pi*x))
    for q in opt.param_groups: q['lr']=max(lr*min(1,(step+1)/200),2e-6)
    f,Y=ahead(); loss,parts=run(f,*Y); opt.zero_grad(set_to_none=True); loss.backward()
    if world>1:
        flat=torch.cat([q.grad.reshape(-1) for q in ps]); dist.all_reduce(flat); flat/=world; k=0
        for q in ps: n=q.numel(); q.grad.copy_(flat[k:k+n].view(q.shape)); k+=n
    torch.nn.utils.clip_grad_norm_(ps,5.); opt.step(); step+=1
    with torch.no_grad():
        loop.follow(ema,net,step,a.emad)
        acc+=torch.cat([loss.detach()[None],parts.detach()]); nacc+=1
    if step%200==0 or step in(20,100):
        v=(acc/nacc).cpu().numpy().round(3); t2=time.time(); say(f'{step} {t2-t00:.0f}s {(t2-t1)/nacc*1e3:.0f}ms/step wait {wait:.0f}s lr {lr:.1e} loss',*v); acc.zero_(); nacc=0; t1=t2
if rank==0:
    sd=net.state_dict(); torch.save(dict(net=sd,ema=ema,opt=opt.state_dict(),step=step),a.out+'/state.pt')
    loop.save(a.out+'/ckpt.pt',ema,net,step); say('steps',step,'done %.0f'%(time.time()-t00))
if gpu: ahead.close()
if world>1: dist.barrier(); dist.destroy_process_group()
loop.finish(dl)
