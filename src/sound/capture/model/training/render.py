"""What gen.py makes, as sound in batch on the GPU, and sound as what the net hears (torch)."""
import numpy as np, torch
import shape
from gen import C, DUR, FXK, HOP, L, NB, PRE, SR
from shape import NBINS
def additive_torch(vid,t,fr,ph,tab):
    y=torch.zeros_like(t)
    for k in range(tab.shape[1]):
        q=tab[:,k]
        if not bool((q[:,0]>0).any()): break
        A,d,B,br,bp,b,p0=[q[:,i][vid] for i in range(7)]; y+=A*torch.exp(-t*d)*(1+b*torch.cos(br*t+bp))*torch.sin(6.2831853*((k+1)*fr+B*ph+p0))
    return y
try:
    import triton, triton.language as tl
    @triton.jit
    def _addk(vid,t,fr,ph,y,tab,N,K:tl.constexpr,BLOCK:tl.constexpr):
        i=tl.program_id(0)*BLOCK+tl.arange(0,BLOCK); m=i<N
        v=tl.load(vid+i,mask=m,other=0); tt=tl.load(t+i,mask=m,other=0.); f=tl.load(fr+i,mask=m,other=0.); p=tl.load(ph+i,mask=m,other=0.); acc=tl.zeros([BLOCK],tl.float32)
        for k in range(K):
            b=tab+(v*K+k)*8; A=tl.load(b); d=tl.load(b+1); B=tl.load(b+2); br=tl.load(b+3); bp=tl.load(b+4); bb=tl.load(b+5); p0=tl.load(b+6)
            x=(k+1)*f+B*p+p0; x=x-tl.floor(x); acc+=A*tl.exp(-tt*d)*(1+bb*tl.cos(br*tt+bp))*tl.sin(6.2831853*x)
        tl.store(y+i,acc,mask=m)
    def additive_triton(vid,t,fr,ph,tab):
        y=torch.empty_like(t); N=len(t); _addk[(triton.cdiv(N,512),)](vid,t.contiguous(),fr.contiguous(),ph.contiguous(),y,tab,N,tab.shape[1],512); return y
except ImportError: additive_triton=None
USE_TRITON=True
def additive(vid,t,fr,ph,tab):
    global USE_TRITON
    if USE_TRITON and additive_triton is not None and t.is_cuda:
        try: return additive_triton(vid,t,fr,ph,tab)
        except Exception as e: print('triton failed, torch path:',repr(e)[:300],flush=True); USE_TRITON=False
    return additive_torch(vid,t,fr,ph,tab)
class Renderer:
    def __init__(s,bank,meta,dev):
        s.dev=dev; s.comb=0.; s.bank=torch.tensor(bank.astype(np.float32)/32768,device=dev); s.bank=torch.cat([s.bank,torch.zeros(8,device=dev)])
        s.smeta=torch.tensor(meta,device=dev,dtype=torch.float32); s.soff=torch.tensor(np.concatenate([[0],np.cumsum(meta[:,3])[:-1]]),device=dev,dtype=torch.long)
    def flat(s,V,start,end):
        dev=s.dev; st=(start*SR).round().long(); ln=((end*SR).round().long().clamp(max=L)-st).clamp(min=1)
        vid=torch.repeat_interleave(torch.arange(len(V),device=dev),ln); off=torch.cumsum(ln,0)-ln; n=torch.arange(len(vid),device=dev)-off[vid]
        return vid,n,off,st,ln
    def pitch(s,V,vid,t):
        bt,bv=V[:,44:44+NB],V[:,44+NB:44+2*NB]; m=(V[:,C['midi']]+bv[:,0])[vid]
        for j in range(NB-1):
            dv=bv[:,j+1]-bv[:,j]
            if not bool((dv!=0).any()): continue
            a=bt[:,j]; w=1/(bt[:,j+1]-a).clamp(min=1e-4); u=((t-a[vid])*w[vid]).clamp(0,1); m=m+dv[vid]*u*u*(3-2*u)
        m=m+V[:,C['sharp']][vid]*torch.exp(-t/V[:,C['sharptau']].clamp(min=.01)[vid])
        iv=torch.where(V[:,C['vdep']]>0)[0]
        if len(iv):
            u=(t-V[:,C['vt0']][vid]); w=2*np.pi*V[:,C['vrate']][vid]*u; r=(u/.15).clamp(0,1); r=r*r*(3-2*r); mode=V[:,C['vmode']][vid]
            m=m+V[:,C['vdep']][vid]*r*torch.where(mode>0,(1-torch.cos(w))*.5,torch.sin(w))*(u>0)
        return m
    def cum(s,x,off,vid):
        c=torch.cumsum(x.double(),0); base=torch.where(off>0,c[(off-1).clamp(min=0)],torch.zeros_like(c[:1])); return c-base[vid]
    def level(s,x,tau):
        """the running level of x, looked at both ways with the time tau [B]"""
        n=x.shape[1]; NF=1<<(2*n-1).bit_length(); t=torch.arange(n,device=s.dev)/SR; k=torch.exp(-t[None]/tau[:,None]); k=k/k.sum(1,keepdim=True); k=torch.cat([k,torch.zeros(len(x),NF-n,device=s.dev)],1)
        k[:,NF-n+1:]+=k[:,1:n].flip(1)*.15; return torch.fft.irfft(torch.fft.rfft(x*x,NF)*torch.fft.rfft(k),NF)[:,:n].clamp(min=1e-10).sqrt()
    def pedals(s,x,fx,g):
        """before the amplifier: compressor, chorus, tremolo; only where there are any (and no dice are thrown where there are none)"""
        B,n=x.shape; ru=lambda *a:torch.rand(*a,device=s.dev,generator=g); t=torch.arange(n,device=s.dev)/SR
        i=torch.where(fx('comp')>0)[0]
        if len(i): e=s.level(x[i],fx('compt')[i]); th=e.amax(1,keepdim=True)*10**(-(10+20*ru(len(i),1))/20); x=x.clone(); x[i]=x[i]*(e/th).clamp(min=1)**-(1-1/fx('comp')[i][:,None])
        i=torch.where(fx('chorus')>0)[0]
        if len(i):
            d=(.005+fx('chorus')[i][:,None]*1e-3*(1+torch.sin(6.2832*((.3+1.5*ru(len(i),1))*t+ru(len(i),1)))))*SR; p=(torch.arange(n,device=s.dev)-d).clamp(min=0); k=p.long().clamp(max=n-2); u=p-k; x=x.clone(); y=x[i]; x[i]=y+(.3+.5*ru(len(i),1))*(y.gather(1,k)*(1-u)+y.gather(1,k+1)*u)
        i=torch.where(fx('trem')>0)[0]
        if len(i): x=x.clone(); x[i]=x[i]*(1-fx('trem')[i][:,None]*(.5+.5*torch.sin(6.2832*(fx('tremhz')[i][:,None]*t+ru(len(i),1)))))
        return x/(x.abs().amax(1,keepdim=True)+1e-6)
    def input(s,x,fx,g):
        """behind the amplifier, where it is recorded: early reflections and an echo, rumble, gain that follows, clipping"""
        B,n=x.shape; ru=lambda *a:torch.rand(*a,device=s.dev,generator=g); rn=lambda *a:torch.randn(*a,device=s.dev,generator=g)
        if bool(((fx('early')<0)|(fx('echo')<0)).any()):
            NF=1<<(n+SR*2).bit_length(); fr=torch.fft.rfftfreq(NF,1/SR).to(s.dev)[None]; H=torch.ones(B,fr.shape[1],device=s.dev,dtype=torch.complex64)
            ge=torch.where(fx('early')<0,10**(fx('early')/20),torch.zeros(B,device=s.dev))
            for _ in range(4): H=H+(ge*(ru(B)*2-1))[:,None]*torch.exp(-6.2832j*fr*(.002+.035*ru(B,1)))
            gc=torch.where(fx('echo')<0,10**(fx('echo')/20),torch.zeros(B,device=s.dev)); fb=.5*ru(B)
            for k in range(1,4): H=H+(gc*fb**(k-1))[:,None]*torch.exp(-6.2832j*fr*k*fx('echot')[:,None])/(1+(fr/4000)**2)**(.5*k)
            x=torch.fft.irfft(torch.fft.rfft(x,NF)*H,NF)[:,:n]
        i=torch.where(fx('rumble')<0)[0]
        if len(i): fr=torch.fft.rfftfreq(n,1/SR).to(s.dev); w=torch.fft.irfft(torch.fft.rfft(rn(len(i),n))/(1+(fr/60)**4),n); x=x.clone(); x[i]=x[i]+w/w.pow(2).mean(1,keepdim=True).sqrt()*10**(fx('rumble')[i][:,None]/20)*x[i].pow(2).mean(1,keepdim=True).sqrt()
        i=torch.where(fx('agc')>0)[0]
        if len(i): e=s.level(x[i],.2+.6*ru(len(i))); x=x.clone(); x[i]=x[i]*(e+.05*e.amax(1,keepdim=True))**-fx('agc')[i][:,None]
        i=torch.where(fx('clip')>0)[0]
        if len(i): x=x.clone(); top=x[i].abs().amax(1,keepdim=True)*10**(-fx('clip')[i][:,None]/20); x[i]=torch.minimum(torch.maximum(x[i],-top),top)
        return x
    @torch.no_grad()
    def render(s,V,N,FX,B,g):
        dev=s.dev; V=torch.as_tensor(V,device=dev); FX=torch.as_tensor(FX,device=dev,dtype=torch.float32); Lp=int(PRE*SR); tot=L+Lp; out=torch.zeros(B*tot,device=dev)
        rn=lambda *a:torch.randn(*a,device=dev,generator=g); ru=lambda *a:torch.rand(*a,device=dev,generator=g)
        f0=440*2**((V[:,5]-69)/12)
        for kind in (0,1,2,3):
            W=V[V[:,C['kind']]==kind]
            if not len(W): continue
            W=W[torch.argsort(W[:,5])]; vid,n,off,st,ln=s.flat(W,W[:,1],W[:,C['end']]); t=n.float()/SR
            f=440*2**((s.pitch(W,vid,t)-69)/12)
            amp=W[:,C['amp']][vid]*(1-torch.exp(-t/W[:,C['att']].clamp(min=2e-4)[vid]))*torch.exp(-(t-(W[:,C['rel']]-W[:,1])[vid]).clamp(min=0)/W[:,C['reltau']][vid])
            if kind!=1:
                ph=s.cum(f/SR,off,vid); fr=(ph-torch.floor(ph)).float(); phf=ph.float(); f0w=440*2**((W[:,5]-69)/12); K={0:64,2:1,3:8}[kind]; nW=len(W)
                k=torch.arange(1,K+1,device=dev)[None,:].float(); fk=f0w[:,None]*k; col=lambda c:W[:,C[c]][:,None]
                A=torch.abs(torch.sin(np.pi*k*col('beta'))+.03)*k**-col('p')*torch.exp(-(fk/col('fc')))*10**(rn(nW,K)*3/20)
                A=A*torch.where(col('pickup')>0,torch.abs(torch.sin(np.pi*k*col('pickup')))+.05,torch.ones_like(A))*(fk<10400); A=A/(A.pow(2).sum(1,keepdim=True).sqrt()+1e-6)*.5
                tab=torch.stack([A,col('d0')+col('dh')*(fk/3000)**col('hpow'),.5*k**3*col('B'),2*np.pi*(.2+3*ru(nW,K)),6.28*ru(nW,K),col('beat')*ru(nW,K),ru(nW,K),torch.zeros_like(A)],2).contiguous()
                y=additive(vid,t,fr,phf,tab)*amp
            else:
                si=W[:,C['sample']].long(); r=f/(s.smeta[si,1])[vid]*(s.smeta[si,2])[vid]/SR; pos=s.cum(r,off,vid)+(W[:,C['sstart']]*s.smeta[si,2])[vid]
                i=torch.floor(pos); u=(pos-i).float(); i=i.long(); mx=s.smeta[si,3].long()[vid]; ok=(i<mx-3); i=torch.minimum(i,mx-4).clamp(min=1)+s.soff[si][vid]
                a,b,c,d=s.bank[i-1],s.bank[i],s.bank[i+1],s.bank[i+2]
                y=b+.5*u*(c-a+u*(2*a-5*b+4*c-d+u*(3*(b-c)+d-a))); y=y*ok
                if s.comb>0:   # plucked elsewhere, or duller the softer: a second, later reading of the same recording is added or taken away
                    nW=len(W); ci=W[:,0].long(); how=ru(B); how=torch.where(ru(B)<s.comb,how,torch.ones_like(how))[ci]; per=s.smeta[si,2]/s.smeta[si,1]
                    soft=(.25-20*torch.log10(W[:,C['amp']].clamp(min=1e-3))/14*.25).clamp(0,.5)+.15*ru(nW)
                    lag=torch.where(how<.6,W[:,C['beta']]*per,(1+4*ru(B))[ci]*s.smeta[si,2]/44100); ga=torch.where(how<.6,((ru(B)*1.4-.7)[ci]+.15*rn(nW)).clamp(-.85,.85),torch.where(how<.9,soft/(1-soft),torch.zeros_like(soft)))
                    p2=pos-lag[vid]; i=torch.floor(p2); u=(p2-i).float(); i=i.long(); o2=(i>=1)&(i<mx-3); i=torch.minimum(i,mx-4).clamp(min=1)+s.soff[si][vid]
                    a,b,c,d=s.bank[i-1],s.bank[i],s.bank[i+1],s.bank[i+2]
                    y=(y+ga[vid]*o2*(b+.5*u*(c-a+u*(2*a-5*b+4*c-d+u*(3*(b-c)+d-a)))))/(1+ga*ga).sqrt()[vid]
                y=y*amp*torch.exp(-t*W[:,C['xdec']][vid])
            idx=(W[:,0].long()*tot+st+Lp)[vid]+n; out.index_add_(0,idx.clamp(0,B*tot-1),y)
        # pick noise and other bursts
        nb=torch.cat([torch.stack([V[:,0],V[:,1]-.001,V[:,C['nb']]*V[:,C['amp']],V[:,C['nbtau']]],1),torch.as_tensor(N,device=dev)]); nb=nb[nb[:,2]>0]
        noi=torch.zeros(B*tot,device=dev)
        if len(nb):
            vid,n,off,st,ln=s.flat(nb,nb[:,1].clamp(min=-PRE),torch.minimum(nb[:,1]+6*nb[:,3],torch.full_like(nb[:,1],DUR-.001))); t=n.float()/SR; tau=nb[:,3][vid]
            y=rn(len(t))*nb[:,2][vid]*torch.exp(-t/tau)*(1-torch.exp(-t/.0006)); idx=(nb[:,0].long()*tot+st+Lp)[vid]+n; noi.index_add_(0,idx.clamp(0,B*tot-1),y)
        x=out.view(B,tot); noi=noi.view(B,tot); K={k:i for i,k in enumerate(FXK)}; fx=lambda k:FX[:,K[k]]
        NF=1<<18; fr=torch.fft.rfftfreq(NF,1/SR).to(dev); lf=torch.log2(fr.clamp(min=20)/20)
        def eq(db):   # smooth random curve over 10 knots of log frequency
            k=10; c=rn(B,k)*db[:,None]*.5; p=(lf/9.2*(k-1)).clamp(0,k-1.001); i=p.floor().long(); u=p-i; u=u*u*(3-2*u); return c[:,i]*(1-u)+c[:,i+1]*u
        # noise bursts get their own colour
        X=torch.fft.rfft(x,NF); Nn=torch.fft.rfft(noi,NF)*10**(eq(torch.full((B,),14.,device=dev))/20); X=X+Nn
        # body: direct + damped modes (acoustic)
        M=36; mf=torch.exp(np.log(80)+ru(B,M)*np.log(4000/80)); mf[:,0]=85+40*ru(B); mf[:,1]=170+80*ru(B); mt=(.02+.12*ru(B,M)); mt[:,:2]=.06+.35*ru(B,2); tt=torch.arange(8192,device=dev)/SR; ir=torch.zeros(B,8192,device=dev)
        for j in range(M): ir+=rn(B,1)*(mf[:,j:j+1]/500)**-.3*torch.exp(-6.9*tt/mt[:,j:j+1])*torch.sin(6.2832*mf[:,j:j+1]*tt)*(.02 if j>1 else .03)
        ir=ir*fx('body')[:,None]; ir[:,0]+=1; X=X*torch.fft.rfft(ir,NF)*10**(eq(fx('eq'))/20)
        x=torch.fft.irfft(X,NF)[:,:tot]; x=x/(x.abs().amax(1,keepdim=True)+1e-6)
        x=s.pedals(x,fx,g)
        dr=fx('drive')[:,None]; isd=dr>0; gdr=10**(dr/20); bias=(ru(B,1)-.5)*.4; y=torch.tanh(gdr*x+bias)-torch.tanh(bias); x=torch.where(isd,y/y.abs().amax(1,keepdim=True).clamp(min=1e-6),x)
        # cabinet / microphone, reverb
        X=torch.fft.rfft(x,NF)*10**((eq(fx('eq'))+fx('tilt')[:,None]*(lf-5))/20)/torch.sqrt(1+(fr/fx('lp')[:,None])**8)*((fr/fx('hp')[:,None])**2/(1+(fr/fx('hp')[:,None])**2))
        R=1<<15; tt=torch.arange(R,device=dev)/SR; rv=rn(B,R)*torch.exp(-6.9*tt/fx('rt')[:,None]); rv=rv*(tt>(.001+.02*ru(B,1))); rv=rv/rv.pow(2).sum(1,keepdim=True).sqrt()
        Rv=torch.fft.rfft(rv,NF)/torch.sqrt(1+(fr/(1500+5000*ru(B,1)))**2); X=X*(1+10**(fx('wet')/20)[:,None]*Rv)
        x=torch.fft.irfft(X,NF)[:,Lp:tot]; rms=x.pow(2).mean(1,keepdim=True).sqrt()+1e-6; x=x/rms
        w=torch.fft.irfft(torch.fft.rfft(rn(B,L))*(1+torch.arange(L//2+1,device=dev)*SR/L/200)[None,:]**-(ru(B,1)*1.2),L); w=w/w.pow(2).mean(1,keepdim=True).sqrt()
        tl=torch.arange(L,device=dev)/SR; hz=50+10*(ru(B,1)>.5); hum=sum(torch.sin(6.2832*(hz*h*tl+ru(B,1)))*ru(B,1)/h for h in (1,2,3,4,6))
        x=x+w*10**(fx('noise')/20)[:,None]+hum*10**(fx('hum')/20)[:,None]
        x=s.input(x,fx,g)
        x=x/x.abs().amax(1,keepdim=True)*10**(fx('gain')/20)[:,None]
        return x
# ---------- features: two STFTs on 3 bins a semitone, dB under the clip's loud level ----------
def bank_matrix(win,low):
    f=np.arange(win//2+1)*SR/win; m=np.zeros((NBINS,len(f)))
    for b in range(NBINS):
        fc=440*2**((low-1/3+b/3-69)/12); sg=max(.55*SR/win,fc*(2**(1/36)-1)*.75); w=np.exp(-.5*((f-fc)/sg)**2); w[w<.02]=0; m[b]=w/w.sum()
    return m
class Feat:
    def __init__(s,dev): s.dev=dev; s.made={}
    def spectra(s,low):
        if low not in s.made: s.made[low]=[(w,torch.hann_window(w,device=s.dev)*(2/w)*2,torch.tensor(bank_matrix(w,low).T.astype(np.float32),device=s.dev)) for w in shape.windows(low)]
        return s.made[low]
    def __call__(s,x,jit=None,low=37):
        """x [B,n] -> [B,2,T,NBINS], from MIDI `low` on; jit [B] in dB shifts the reference"""
        o=[]
        for w,win,m in s.spectra(low):
            X=torch.stft(x,w,HOP,w,win,center=True,pad_mode='constant',return_complex=True).abs()[:,:,:x.shape[1]//HOP]
            o.append(20*torch.log10(torch.matmul(X.transpose(1,2),m)+1e-6))
        ref=torch.quantile(o[0].amax(2),.95,dim=1)
        if jit is not None: ref=ref+jit
        return torch.stack([((q-ref[:,None,None]+80)/80).clamp(0,1.25) for q in o],1)
