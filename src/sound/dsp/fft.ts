/** Angles and bit-reversed places of one size, computed once. */
export interface Plan {
  readonly cos: Float64Array;
  readonly sin: Float64Array;
  readonly place: Uint32Array;
}

const PLANS = new Map<number, Plan>();

/** What a transform of a size needs; the size is a power of two. */
export function planOf(size: number): Plan {
  const known = PLANS.get(size);
  if (known !== undefined) return known;
  const cos = new Float64Array(size / 2);
  const sin = new Float64Array(size / 2);
  for (let i = 0; i < size / 2; i++) {
    cos[i] = Math.cos((2 * Math.PI * i) / size);
    sin[i] = -Math.sin((2 * Math.PI * i) / size);
  }
  const place = new Uint32Array(size);
  for (let i = 1, j = 0; i < size; i++) {
    let bit = size >> 1;
    for (; (j & bit) !== 0; bit >>= 1) j ^= bit;
    j ^= bit;
    place[i] = j;
  }
  const plan = { cos, sin, place };
  PLANS.set(size, plan);
  return plan;
}

/**
 * Discrete Fourier transform in place, radix 2.
 * @param re Real parts; its length, a power of two, is the size.
 * @param im Imaginary parts, of the same length.
 */
export function fft(re: Float64Array, im: Float64Array): void {
  const size = re.length;
  const { cos, sin, place } = planOf(size);
  for (let i = 1; i < size; i++) {
    const j = place[i]!;
    if (i < j) {
      const r = re[i]!;
      const m = im[i]!;
      re[i] = re[j]!;
      im[i] = im[j]!;
      re[j] = r;
      im[j] = m;
    }
  }
  let half = 1;
  for (; 4 * half <= size; half *= 4) twoStages(re, im, half, cos, sin);
  if (half < size) lastStage(re, im, cos, sin);
}

/** The stages of spans 2 · half and 4 · half in one pass, which reads and writes every value once, not twice. */
function twoStages(
  re: Float64Array,
  im: Float64Array,
  half: number,
  cos: Float64Array,
  sin: Float64Array,
): void {
  const size = re.length;
  const step = size / (4 * half);
  const quarter = size / 4;
  for (let start = 0; start < size; start += 4 * half) {
    for (let k = 0, t = 0; k < half; k++, t += step) {
      const a = start + k;
      const b = a + half;
      const c = b + half;
      const d = c + half;
      const c1 = cos[2 * t]!;
      const s1 = sin[2 * t]!;
      const bx = re[b]! * c1 - im[b]! * s1;
      const by = re[b]! * s1 + im[b]! * c1;
      const dx = re[d]! * c1 - im[d]! * s1;
      const dy = re[d]! * s1 + im[d]! * c1;
      const ar = re[a]! + bx;
      const ai = im[a]! + by;
      const br = re[a]! - bx;
      const bi = im[a]! - by;
      const cr = re[c]! + dx;
      const ci = im[c]! + dy;
      const dr = re[c]! - dx;
      const di = im[c]! - dy;
      const c2 = cos[t]!;
      const s2 = sin[t]!;
      const c3 = cos[t + quarter]!;
      const s3 = sin[t + quarter]!;
      const cx = cr * c2 - ci * s2;
      const cy = cr * s2 + ci * c2;
      const ex = dr * c3 - di * s3;
      const ey = dr * s3 + di * c3;
      re[a] = ar + cx;
      im[a] = ai + cy;
      re[b] = br + ex;
      im[b] = bi + ey;
      re[c] = ar - cx;
      im[c] = ai - cy;
      re[d] = br - ex;
      im[d] = bi - ey;
    }
  }
}

/** The stage of the whole span, where their number is odd. */
function lastStage(re: Float64Array, im: Float64Array, cos: Float64Array, sin: Float64Array): void {
  const half = re.length / 2;
  for (let a = 0; a < half; a++) {
    const b = a + half;
    const x = re[b]! * cos[a]! - im[b]! * sin[a]!;
    const y = re[b]! * sin[a]! + im[b]! * cos[a]!;
    const r = re[a]!;
    const m = im[a]!;
    re[b] = r - x;
    im[b] = m - y;
    re[a] = r + x;
    im[a] = m + y;
  }
}

/**
 * Spectra of real signals of one length: a complex transform of half the length does both halves
 * at once, its even and odd samples as real and imaginary parts (common practice).
 */
export class RealFft {
  private readonly half: number;
  private readonly zr: Float64Array;
  private readonly zi: Float64Array;
  private readonly cos: Float64Array;
  private readonly sin: Float64Array;

  /** @param size Samples, a power of two from 4. */
  constructor(readonly size: number) {
    this.half = size / 2;
    this.zr = new Float64Array(this.half);
    this.zi = new Float64Array(this.half);
    ({ cos: this.cos, sin: this.sin } = planOf(size));
  }

  /** Fills `re` and `im` (size/2 + 1 values) with the spectrum of `x`. */
  forward(x: Float64Array, re: Float64Array, im: Float64Array): void {
    const { half, zr, zi, cos, sin } = this;
    for (let i = 0; i < half; i++) {
      zr[i] = x[2 * i]!;
      zi[i] = x[2 * i + 1]!;
    }
    fft(zr, zi);
    re[0] = zr[0]! + zi[0]!;
    im[0] = 0;
    re[half] = zr[0]! - zi[0]!;
    im[half] = 0;
    for (let k = 1; k < half; k++) {
      const j = half - k;
      const er = (zr[k]! + zr[j]!) / 2;
      const ei = (zi[k]! - zi[j]!) / 2;
      const or = (zi[k]! + zi[j]!) / 2;
      const oi = (zr[j]! - zr[k]!) / 2;
      const c = cos[k]!;
      const s = sin[k]!;
      re[k] = er + c * or - s * oi;
      im[k] = ei + c * oi + s * or;
    }
  }

  /** Fills `x` with the signal whose spectrum is `re` and `im`. */
  inverse(re: Float64Array, im: Float64Array, x: Float64Array): void {
    const { half, zr, zi, cos, sin } = this;
    for (let k = 0; k < half; k++) {
      const j = half - k;
      const er = (re[k]! + re[j]!) / 2;
      const ei = (im[k]! - im[j]!) / 2;
      const dr = (re[k]! - re[j]!) / 2;
      const di = (im[k]! + im[j]!) / 2;
      const c = cos[k]!;
      const s = -sin[k]!;
      const or = c * dr - s * di;
      const oi = c * di + s * dr;
      // The inverse by the forward transform: real and imaginary parts change places.
      zr[k] = ei + or;
      zi[k] = er - oi;
    }
    fft(zr, zi);
    for (let i = 0; i < half; i++) {
      x[2 * i] = zi[i]! / half;
      x[2 * i + 1] = zr[i]! / half;
    }
  }
}
