"""Clips of our own player (tests/scripts/capture-clips.ts) as training batches: rooms, colours, hum and noise are laid over them here."""
import glob, os, numpy as np, torch
SR=22050; T=512; P=54; L=T*256; N=T*P; REC=2*L+6*N+T
def load(folder):
    return np.concatenate([np.fromfile(f,np.uint8).reshape(-1,REC) for f in sorted(glob.glob(os.path.join(folder,'*.clips')))])
def load_low(folder):
    """clips of strings tuned down, by the lowest pitch they are heard from (SEED-ROW.clips)"""
    by={}
    for f in sorted(glob.glob(os.path.join(folder,'*-*.clips'))): by.setdefault(int(f[:-6].rsplit('-',1)[1]),[]).append(np.fromfile(f,np.uint8).reshape(-1,REC))
    return {k:np.concatenate(v) for k,v in by.items()}
def parts(r):
    """[B,REC] bytes -> sound [B,L] float, labels as gen.batch gives them"""
    B=len(r); o=2*L; a=np.ascontiguousarray(r[:,:o]).view('<i2').astype(np.float32)/24000
    g=[np.ascontiguousarray(r[:,o+i*N:o+(i+1)*N]).reshape(B,T,P) for i in range(5)]; g[2]=g[2].view(np.int8)
    o+=5*N; return a,g+[np.ascontiguousarray(r[:,o:o+T]),np.ascontiguousarray(r[:,o+T:]).reshape(B,T,P)]
class Rooms:
    def __init__(s,dev,g): s.dev=dev; s.g=g
    @torch.no_grad()
    def __call__(s,x):
        dev,g=s.dev,s.g; B=len(x); rn=lambda *a:torch.randn(*a,device=dev,generator=g); ru=lambda *a:torch.rand(*a,device=dev,generator=g); NF=1<<18
        fr=torch.fft.rfftfreq(NF,1/SR).to(dev); lf=torch.log2(fr.clamp(min=20)/20)
        def eq(db): k=10; c=rn(B,k)*db[:,None]*.5; p=(lf/9.2*(k-1)).clamp(0,k-1.001); i=p.floor().long(); u=p-i; u=u*u*(3-2*u); return c[:,i]*(1-u)+c[:,i+1]*u
        x=x/(x.abs().amax(1,keepdim=True)+1e-6)
        lp=torch.where(ru(B)<.3,torch.exp(np.log(2200)+ru(B)*np.log(9000/2200)),torch.full((B,),11000.,device=dev)); hp=torch.exp(np.log(20)+ru(B)*np.log(8.))
        X=torch.fft.rfft(x,NF)*10**((eq(ru(B)*7)+(rn(B)*1.5)[:,None]*(lf-5))/20)/torch.sqrt(1+(fr/lp[:,None])**8)*((fr/hp[:,None])**2/(1+(fr/hp[:,None])**2))
        R=1<<15; tt=torch.arange(R,device=dev)/SR; rt=torch.exp(np.log(.08)+ru(B,1)*np.log(2.2/.08)); rv=rn(B,R)*torch.exp(-6.9*tt/rt); rv=rv*(tt>(.001+.02*ru(B,1))); rv=rv/rv.pow(2).sum(1,keepdim=True).sqrt()
        wet=torch.where(ru(B)<.7,-40+34*ru(B),torch.full((B,),-90.,device=dev)); Rv=torch.fft.rfft(rv,NF)/torch.sqrt(1+(fr/(1500+5000*ru(B,1)))**2); X=X*(1+10**(wet/20)[:,None]*Rv)
        x=torch.fft.irfft(X,NF)[:,:L]; x=x/(x.pow(2).mean(1,keepdim=True).sqrt()+1e-6)
        w=torch.fft.irfft(torch.fft.rfft(rn(B,L))*(1+torch.arange(L//2+1,device=dev)*SR/L/200)[None,:]**-(ru(B,1)*1.2),L); w=w/w.pow(2).mean(1,keepdim=True).sqrt()
        tl=torch.arange(L,device=dev)/SR; hz=50+10*(ru(B,1)>.5); hum=sum(torch.sin(6.2832*(hz*h*tl+ru(B,1)))*ru(B,1)/h for h in (1,2,3,4,6))
        x=x+w*10**((-75+47*ru(B,1))/20)+hum*10**(torch.where(ru(B,1)<.2,-80+45*ru(B,1),torch.full((B,1),-120.,device=dev))/20)
        return x/x.abs().amax(1,keepdim=True)*10**((-24*ru(B,1))/20)
