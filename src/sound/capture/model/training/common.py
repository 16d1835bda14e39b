"""What training and judging share: a model from a checkpoint or from exported weights, what it says of sound, and batches made in a thread of their own."""
import threading, queue, numpy as np, torch
from model import Net, HARM, MIX, P
BEFORE=dict(dil=(1,2,4,8,16,2),mix=(1,0,1,0,1,0))   # the blocks of the model without strings
def fresh(c=64): return Net(c)
def unfold(path,c=64):
    """exported weights (export.py) as a net: batch norms that only add; also of the model before, which had two blocks less and no strings"""
    a=torch.from_numpy(np.fromfile(path,'<f2').astype(np.float32)); old=len(a)==203_953; n=Net(c,**BEFORE) if old else fresh(c); o=0; H=len(HARM)
    def take(*s):
        nonlocal o; k=int(np.prod(s)); v=a[o:o+k].view(*s); o+=k; return v
    def bn(b):
        b.weight.data.fill_(1); b.running_mean.zero_(); b.running_var.fill_(1-b.eps); b.bias.data.copy_(take(len(b.bias)))
    with torch.no_grad():
        n.first.weight.copy_(take(3,H,7,2,c).permute(4,1,3,0,2).reshape(c,2*H,3,7)); bn(n.fb)
        for k in n.blocks:
            k.t.c.weight.copy_(take(3,c,c).permute(2,1,0)[...,None]); bn(k.t.b)
            k.p.c.weight.copy_(take(3,c,c).permute(2,1,0)[:,:,None,:]); bn(k.p.b)
            if k.mix:
                m=k.a.c.weight.shape[0]; k.a.c.weight.copy_(take(c,m).t()[:,:,None,None]); bn(k.a.b)
                k.m.weight.copy_(take(len(MIX),m,c).permute(2,0,1).reshape(c,len(MIX)*m,1,1))
        w,b=(take(c,12),take(12)) if old else (take(c,16),take(16)); h=11 if old else 16; n.head.weight.zero_(); n.head.bias.zero_(); n.head.weight[:h].copy_(w[:,:h].t()[:,:,None,None]); n.head.bias[:h].copy_(b[:h])
        n.dead.weight.copy_(take(5,c).t()[None]); n.dead.bias.copy_(take(1))
    assert o==len(a),(o,len(a)); n.eval(); return n
def wider(path,c=64):
    """exported weights with the blocks that they lack, which change nothing as yet"""
    k=unfold(path,c); n=fresh(c); have=k.state_dict(); sd=n.state_dict(); sd.update(have); n.load_state_dict(sd)
    with torch.no_grad():
        for b in n.blocks[len(k.blocks):]:
            b.p.b.weight.zero_(); b.p.b.bias.zero_()
            if b.mix: b.m.weight.zero_()
    return n.eval()
@torch.no_grad()
def thaw(net,f):
    """batch norms that normalise again, by what they see of the batch `f`, and give out what they gave before"""
    net.eval(); hooks=[]
    def one(conv,bn):
        def seen(_,__,y):
            m=y.float().mean((0,2,3)); v=y.float().var((0,2,3),unbiased=False); s=bn.weight/torch.sqrt(bn.running_var+bn.eps)
            bn.bias.add_((m-bn.running_mean)*s); bn.weight.copy_(s*torch.sqrt(v+bn.eps)); bn.running_mean.copy_(m); bn.running_var.copy_(v)
        hooks.append(conv.register_forward_hook(seen))
    one(net.first,net.fb)
    for b in net.blocks:
        one(b.t.c,b.t.b); one(b.p.c,b.p.b)
        if b.mix: one(b.a.c,b.a.b)
    net(f)
    for h in hooks: h.remove()
def load(path,c=64):
    if path.endswith('.bin'): return unfold(path,c)
    k=torch.load(path,map_location='cpu'); n=Net(**k['cfg']) if 'cfg' in k else Net(c); n.load_state_dict(k['ema']); n.eval(); return n
def mean(paths,shares):
    """checkpoints of one descent, averaged number by number"""
    ks=[torch.load(p,map_location='cpu') for p in paths]; sd={}
    for name,v in ks[0]['ema'].items(): sd[name]=sum(s*k['ema'][name] for k,s in zip(ks,shares)) if v.is_floating_point() else v
    return dict(ema=sd,cfg=ks[0]['cfg'],step=ks[-1].get('step'))
def folded_mean(paths,shares,out):
    """exported weights that come from one another, averaged number by number, as a file"""
    sum(s*np.fromfile(p,'<f2').astype(np.float32) for p,s in zip(paths,shares)).astype('<f2').tofile(out)
@torch.no_grad()
def post(net,FE,x,jit=None,low=37):
    o,de=net(FE(x,jit,low)); o=o.float(); return torch.sigmoid(o[:,0]),torch.sigmoid(o[:,1]),o[:,2].clamp(-.6,.6),torch.softmax(o[:,3:7],1).permute(0,2,3,1),torch.sigmoid(o[:,7:11]).permute(0,2,3,1),torch.sigmoid(de.float()),torch.log_softmax(torch.cat([o[:,11:16],torch.zeros_like(o[:,:1])],1),1).permute(0,2,3,1)
class Ahead:
    """make() -> (features, labels): made a few batches ahead on a stream of its own, while the last one is learnt from"""
    def __init__(s,make,dev,depth=3):
        s.q=queue.Queue(depth); s.stop=False; s.dev=dev
        def run():
            try:
                torch.cuda.set_device(torch.device(dev).index or 0); st=torch.cuda.Stream()   # 'cuda' alone has no index
                with torch.cuda.stream(st):
                    while not s.stop:
                        f,Y=make(); e=torch.cuda.Event(); e.record(st); s.put((f,Y,e))
            except BaseException as x: s.put(x)
        s.th=threading.Thread(target=run,daemon=True); s.th.start()
    def put(s,v):
        while not s.stop:
            try: s.q.put(v,timeout=.5); return
            except queue.Full: pass
    def __call__(s):
        v=s.q.get(timeout=120)
        if isinstance(v,BaseException): raise v
        f,Y,e=v; c=torch.cuda.current_stream(); c.wait_event(e)
        for t in [f]+Y: t.record_stream(c)
        return f,Y
    def close(s):
        s.stop=True; s.th.join(20); torch.cuda.synchronize()
