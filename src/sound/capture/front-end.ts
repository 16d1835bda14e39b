import { RealFft } from '../dsp/fft';
import { BINS, HOP, LOWEST, RATE, WINDOWS } from './network-shape';

/** What the network sees: two spectra a frame, from 0 (80 dB under the loud level, or less) up. */
export interface Features {
  /** [frames][BINS][2], 1 at the loud level, at most 1.25. */
  readonly values: Float32Array;
  readonly frames: number;
  /** The loud level in dB: the 95th percentile of the loudest bin of each frame. */
  readonly level: number;
}

/** Decibels under the loud level at which nothing is seen any more. */
const DEPTH = 80;
/** The loud level is never lower, in dB: what is softer is the hiss of an input and no music. */
const SOFTEST = -80;

interface Spectrum {
  readonly size: number;
  readonly fft: RealFft;
  readonly window: Float64Array;
  /** For each bin the first line of the spectrum and the weights from there on, which sum to 1. */
  readonly bands: readonly { readonly first: number; readonly weights: Float64Array }[];
}

const SPECTRA: readonly Spectrum[] = WINDOWS.map((size) => ({
  size,
  fft: new RealFft(size),
  window: Float64Array.from(
    { length: size },
    (_, i) => (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size)) * (4 / size),
  ),
  bands: bandsOf(size),
}));

/** Gaussian bands on a scale of a third of a semitone, never narrower than the window can tell apart. */
function bandsOf(size: number): Spectrum['bands'] {
  return Array.from({ length: BINS }, (_, b) => {
    const centre = 440 * 2 ** ((LOWEST - 1 / 3 + b / 3 - 69) / 12);
    const width = Math.max((0.55 * RATE) / size, centre * (2 ** (1 / 36) - 1) * 0.75);
    const from = Math.max(0, Math.floor(((centre - 3 * width) * size) / RATE));
    const to = Math.min(size / 2, Math.ceil(((centre + 3 * width) * size) / RATE));
    const weights: number[] = [];
    let first = -1;
    for (let i = from; i <= to; i++) {
      const w = Math.exp(-0.5 * (((i * RATE) / size - centre) / width) ** 2);
      if (w < 0.02) continue;
      if (first < 0) first = i;
      weights.push(w);
    }
    const sum = weights.reduce((a, w) => a + w, 0);
    return { first: Math.max(0, first), weights: Float64Array.from(weights, (w) => w / sum) };
  });
}

/**
 * The features of a recording; frame t is centred on sample t · HOP.
 * @param x Samples at RATE.
 * @param level The loud level to go by; that of `x` itself where absent.
 */
export function featuresOf(x: Float32Array, level?: number): Features {
  const frames = Math.floor(x.length / HOP);
  const values = new Float32Array(frames * BINS * 2);
  const loudest = new Float64Array(frames).fill(-200);
  SPECTRA.forEach(({ size, fft, window, bands }, which) => {
    const cut = new Float64Array(size);
    const re = new Float64Array(size / 2 + 1);
    const im = new Float64Array(size / 2 + 1);
    for (let t = 0; t < frames; t++) {
      const from = t * HOP - size / 2;
      for (let i = 0; i < size; i++) {
        const at = from + i;
        cut[i] = at >= 0 && at < x.length ? x[at]! * window[i]! : 0;
      }
      fft.forward(cut, re, im);
      for (let k = 0; k <= size / 2; k++) re[k] = Math.sqrt(re[k]! * re[k]! + im[k]! * im[k]!);
      for (let b = 0; b < BINS; b++) {
        const { first, weights } = bands[b]!;
        let sum = 0;
        for (let i = 0; i < weights.length; i++) sum += weights[i]! * re[first + i]!;
        const db = 20 * Math.log10(sum + 1e-6);
        values[(t * BINS + b) * 2 + which] = db;
        if (which === 0 && db > loudest[t]!) loudest[t] = db;
      }
    }
  });
  const loud = Math.max(SOFTEST, level ?? percentile95(loudest));
  for (let i = 0; i < values.length; i++) {
    values[i] = Math.min(1.25, Math.max(0, (values[i]! - loud + DEPTH) / DEPTH));
  }
  return { values, frames, level: loud };
}

function percentile95(values: Float64Array): number {
  if (values.length === 0) return 0;
  const sorted = Float64Array.from(values).sort();
  const at = 0.95 * (sorted.length - 1);
  const low = Math.floor(at);
  const next = sorted[Math.min(sorted.length - 1, low + 1)]!;
  return sorted[low]! + (next - sorted[low]!) * (at - low);
}
