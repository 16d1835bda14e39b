import { BLOCK } from './block';
import { RealFft } from './fft';

/** Bins of the spectrum of two blocks. */
const BINS = BLOCK + 1;

/**
 * Convolves a stream with a short response: the response in parts of one block, each as a spectrum
 * (uniformly partitioned overlap-save, Stockham 1966). Nothing is late, since a whole block is there.
 */
export class Convolver {
  private readonly fft = new RealFft(2 * BLOCK);
  private readonly partsRe: readonly Float64Array[];
  private readonly partsIm: readonly Float64Array[];
  private readonly pastRe: readonly Float64Array[];
  private readonly pastIm: readonly Float64Array[];
  private readonly input = new Float64Array(2 * BLOCK);
  private readonly output = new Float64Array(2 * BLOCK);
  private readonly re = new Float64Array(BINS);
  private readonly im = new Float64Array(BINS);
  /** The newest of the past spectra. */
  private at = 0;
  /** Blocks until what went in has come out wholly. */
  private left = 0;

  constructor(response: Float32Array) {
    const count = Math.max(1, Math.ceil(response.length / BLOCK));
    const row = () => Array.from({ length: count }, () => new Float64Array(BINS));
    this.partsRe = row();
    this.partsIm = row();
    this.pastRe = row();
    this.pastIm = row();
    const padded = new Float64Array(2 * BLOCK);
    for (let p = 0; p < count; p++) {
      padded.fill(0);
      padded.set(response.subarray(p * BLOCK, Math.min(response.length, (p + 1) * BLOCK)));
      this.fft.forward(padded, this.partsRe[p]!, this.partsIm[p]!);
    }
  }

  /**
   * Replaces a block by the convolved one.
   * @param silent The block is known to be all zeros.
   * @returns Whether anything may be heard.
   */
  process(block: Float64Array, silent: boolean): boolean {
    const { input, output, pastRe, pastIm, re, im } = this;
    const count = pastRe.length;
    if (silent) {
      if (this.left === 0) return false;
      this.left--;
    } else this.left = count + 1;
    input.copyWithin(0, BLOCK);
    input.set(block, BLOCK);
    const at = this.at === 0 ? count - 1 : this.at - 1;
    this.at = at;
    this.fft.forward(input, pastRe[at]!, pastIm[at]!);
    re.fill(0);
    im.fill(0);
    for (let p = 0; p < count; p++) {
      const k = at + p < count ? at + p : at + p - count;
      addProduct(re, im, pastRe[k]!, pastIm[k]!, this.partsRe[p]!, this.partsIm[p]!);
    }
    this.fft.inverse(re, im, output);
    for (let i = 0; i < BLOCK; i++) block[i] = output[BLOCK + i]!;
    return true;
  }
}

function addProduct(
  re: Float64Array,
  im: Float64Array,
  ar: Float64Array,
  ai: Float64Array,
  br: Float64Array,
  bi: Float64Array,
): void {
  for (let i = 0; i < BINS; i++) {
    const x = ar[i]!;
    const y = ai[i]!;
    const u = br[i]!;
    const v = bi[i]!;
    re[i] = re[i]! + x * u - y * v;
    im[i] = im[i]! + x * v + y * u;
  }
}
