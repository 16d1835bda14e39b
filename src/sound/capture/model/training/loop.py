"""What the training scripts have in common: batches of gen.py made by worker processes, the loss, the running mean of the weights, and an end that leaves nobody behind."""
import os, sys, numpy as np, torch, torch.nn.functional as F
import gen
bce=F.binary_cross_entropy_with_logits
class Clips(torch.utils.data.IterableDataset):
    """batches of `bs` clips from a seed on, some of them (`rich`) with more techniques, and `low` clips on one low instrument -> voices, noises, effects, labels, the lowest pitch of those"""
    def __init__(s,meta,first,bs,rich,low=0,rank=0,world=1): s.meta=meta; s.first=first; s.bs=bs; s.rich=rich; s.low=low; s.rank=rank; s.world=world
    def __iter__(s):
        w=torch.utils.data.get_worker_info(); i=w.id if w else 0; n=w.num_workers if w else 1; k=s.rank*n+i; torch.set_num_threads(1); each=s.bs+s.low
        while True:
            base=s.first+k*each; r=np.random.default_rng(base); gen.RICH=bool(r.random()<s.rich); V,N,FX,Y,_=gen.batch(range(base,base+s.bs),s.meta); deep=37
            if s.low:
                (V2,N2,FX2,Y2,_),deep=gen.lower(int(r.choice(len(gen.LOWS),p=gen.LOW_SHARES)),range(base+s.bs,base+each),s.meta); V2[:,0]+=s.bs; N2[:,0]+=s.bs
                V=np.concatenate([V,V2]); N=np.concatenate([N,N2]); FX=np.concatenate([FX,FX2]); Y=[np.concatenate(y) for y in zip(Y,Y2)]
            yield V,N,FX,[torch.from_numpy(y) for y in Y],deep; k+=n*s.world
def batches(clips,workers):
    return iter(torch.utils.data.DataLoader(clips,batch_size=None,num_workers=workers,**(dict(prefetch_factor=6) if workers else {})))
def loss_of(o,dead,on,so,of,ty,te,de,sg=None,said=None,lab=None,techw=1.,stringw=0.,bendw=0.,pitch_said=False):
    """-> loss, its parts. `said`: what a model before says, to which onset and sounding (with `pitch_said` the pitch too) are held by 1 - `lab` of each clip; `bendw`: how much more the pitch counts in bends"""
    on=on.float()/255; de=de.float()/255; so_=so.float(); of=of.float()/200; o=o.float(); ot=(on>.4); no=ot.sum()+1; ns=so_.sum()+1; so=so_
    if said is not None:
        said=said.float(); on=lab*on+(1-lab)*torch.sigmoid(said[:,0]); so=lab*so_+(1-lab)*torch.sigmoid(said[:,1])
        if pitch_said: of=torch.where(lab>.5,of,said[:,2])
    tb=torch.stack([(te>>k)&1 for k in range(4)],1).float()
    l1=(bce(o[:,0],on,reduction='none')*(1+3*on)).sum()/no*.25; l2=bce(o[:,1],so,reduction='none').sum()/ns; l3=(torch.abs(o[:,2]-of)*so_*(1+bendw*tb[:,0])).sum()/ns*4
    l4=(F.cross_entropy(o[:,3:7],ty.long().clamp(max=3),reduction='none')*ot).sum()/no*.5; l5=(bce(o[:,7:11],tb,reduction='none')*so_[:,None]).sum()/ns*.5
    l6=bce(dead.float(),de,reduction='none').mean()*2; parts=[l1,l2,l3,l4,l5,l6]; l=l1+l2+l3+techw*(l4+l5)+l6
    if stringw:
        ms=((sg<6)&(so_>0)).float(); l7=(F.cross_entropy(torch.cat([o[:,11:16],torch.zeros_like(o[:,:1])],1),sg.long().clamp(max=5),reduction='none')*ms).sum()/(ms.sum()+1); l=l+stringw*l7; parts.append(l7)
    return l,torch.stack(parts)
@torch.no_grad()
def follow(ema,net,step,most):
    """the running mean of the weights, which begins short"""
    dc=min(most,1-1/(step/10+1)); sd=net.state_dict(); ks=[k for k in sd if sd[k].is_floating_point()]; torch._foreach_lerp_([ema[k] for k in ks],[sd[k].float() for k in ks],1-dc)
def save(path,ema,net,step):
    sd=net.state_dict(); torch.save(dict(ema={k:(ema[k] if sd[k].is_floating_point() else sd[k]).cpu() for k in sd},cfg=net.cfg,step=step),path)
def compiled(whole,batch,opt,yes,say):
    """torch.compile, tried on a batch; the plain function where it fails"""
    if not yes: return whole
    try: run=torch.compile(whole,dynamic=False); l,_=run(batch[0],*batch[1]); l.backward()
    except Exception as e: say('not compiled:',repr(e)[:400]); run=whole
    opt.zero_grad(set_to_none=True); return run
def finish(*loaders):
    """ends this process and the workers of its loaders: workers that go on hold the pipe open into which all was printed, and whoever reads it waits for ever"""
    for d in loaders:
        for w in getattr(d,'_workers',[]): w.terminate()
    sys.stdout.flush(); sys.stderr.flush(); os._exit(0)
