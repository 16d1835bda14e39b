/** Angles and bit-reversed places of one size, computed once. */
interface Plan {
  readonly cos: Float64Array;
  readonly sin: Float64Array;
  readonly place: Uint32Array;
}

const PLANS = new Map<number, Plan>();

function planOf(size: number): Plan {
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
  for (let span = 2; span <= size; span *= 2) {
    const half = span / 2;
    const step = size / span;
    for (let start = 0; start < size; start += span) {
      for (let k = 0, t = 0; k < half; k++, t += step) {
        const a = start + k;
        const b = a + half;
        const c = cos[t]!;
        const s = sin[t]!;
        const x = re[b]! * c - im[b]! * s;
        const y = re[b]! * s + im[b]! * c;
        const r = re[a]!;
        const m = im[a]!;
        re[b] = r - x;
        im[b] = m - y;
        re[a] = r + x;
        im[a] = m + y;
      }
    }
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
