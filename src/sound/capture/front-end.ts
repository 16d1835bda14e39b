import { RealFft } from '../dsp/fft';
import { BASS, BASS_WINDOWS, BINS, HOP, LOWEST, RATE, WINDOWS } from './network-shape';
import { type Bands, type PairedSpectra, pairedSpectra } from './paired-spectra';

/** What the network sees: two spectra a frame, from 0 (80 dB under the loud level, or less) up. */
export interface Features {
  /** [frames][BINS][2], 1 at the loud level, at most 1.25. */
  readonly values: Float32Array;
  readonly frames: number;
  /** The loud level in dB: the 95th percentile of the loudest bin of each frame. */
  readonly level: number;
  /** The lowest pitch whose partials are seen whole, a MIDI number: that of the network's first row. */
  readonly lowest: number;
}

/** Decibels under the loud level at which nothing is seen any more. */
const DEPTH = 80;
/** The loud level is never lower, in dB: what is softer is the hiss of an input and no music. */
const SOFTEST = -80;

/** A kind of spectrum: two frames at once, or one by one where there is no WebAssembly. */
interface Spectrum {
  readonly window: Float64Array;
  readonly bands: Bands;
  readonly both: PairedSpectra | null;
}

/** The spectra from a lowest pitch on, made when they are first asked for. */
const spectraFrom = new Map<number, readonly Spectrum[]>();

function spectraOf(lowest: number): readonly Spectrum[] {
  const known = spectraFrom.get(lowest);
  if (known !== undefined) return known;
  const made = (lowest < BASS ? BASS_WINDOWS : WINDOWS).map((size): Spectrum => {
    const window = Float64Array.from(
      { length: size },
      (_, i) => (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size)) * (4 / size),
    );
    const bands = bandsOf(size, lowest);
    return { window, bands, both: pairedSpectra(window, bands, HOP) };
  });
  spectraFrom.set(lowest, made);
  return made;
}

/** Gaussian bands on a scale of a third of a semitone, never narrower than the window can tell apart; each sums to 1. */
function bandsOf(size: number, lowest: number): Bands {
  const ends: number[] = [];
  const all: number[] = [];
  for (let b = 0; b < BINS; b++) {
    const centre = 440 * 2 ** ((lowest - 1 / 3 + b / 3 - 69) / 12);
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
    const line = Math.max(0, first);
    ends.push(line, line + weights.length);
    all.push(...weights.map((w) => w / sum));
  }
  return { from: Int32Array.from(ends), weights: Float64Array.from(all) };
}

/**
 * The features of a recording; frame t is centred on sample t · HOP.
 * @param x Samples at RATE.
 * @param o `level` is the loud level to go by, that of `x` itself where absent, and then no less than `atLeast`; `lowest` the
 *   lowest pitch; `plain` does without WebAssembly.
 */
export function featuresOf(
  x: Float32Array,
  o: {
    readonly level?: number | undefined;
    readonly atLeast?: number;
    readonly lowest?: number | undefined;
    readonly plain?: boolean;
  } = {},
): Features {
  const { level, atLeast = SOFTEST, lowest = LOWEST } = o;
  const frames = Math.floor(x.length / HOP);
  const values = new Float32Array(frames * BINS * 2);
  const loudest = new Float64Array(frames).fill(-200);
  spectraOf(lowest).forEach((s, which) => {
    const both = (o.plain === true ? null : s.both) ?? oneByOne(s);
    const sums = [new Float64Array(BINS), new Float64Array(BINS)] as const;
    for (let t = 0; t < frames; t += 2) {
      both(x, t * HOP - s.window.length / 2, ...sums);
      for (let k = t; k < Math.min(frames, t + 2); k++) {
        const own = sums[k - t]!;
        for (let b = 0; b < BINS; b++) {
          const db = 20 * Math.log10(own[b]! + 1e-6);
          values[(k * BINS + b) * 2 + which] = db;
          if (which === 0 && db > loudest[k]!) loudest[k] = db;
        }
      }
    }
  });
  const loud = Math.max(SOFTEST, level ?? Math.max(atLeast, percentile95(loudest)));
  for (let i = 0; i < values.length; i++) {
    values[i] = Math.min(1.25, Math.max(0, (values[i]! - loud + DEPTH) / DEPTH));
  }
  return { values, frames, level: loud, lowest };
}

/** The same as `pairedSpectra` in TypeScript. */
function oneByOne({ window, bands }: Spectrum): PairedSpectra {
  const size = window.length;
  const fft = new RealFft(size);
  const cut = new Float64Array(size);
  const re = new Float64Array(size / 2 + 1);
  const im = new Float64Array(size / 2 + 1);
  return (x, from, ...sums) =>
    sums.forEach((own, k) => {
      cutOut(x, from + k * HOP, window, cut);
      fft.forward(cut, re, im);
      for (let i = 0; i <= size / 2; i++) re[i] = Math.sqrt(re[i]! * re[i]! + im[i]! * im[i]!);
      sumBands(bands, re, own);
    });
}

/** A window's worth of samples from one on; there are none before the first and behind the last. */
function cutOut(x: Float32Array, from: number, window: Float64Array, cut: Float64Array): void {
  const first = Math.min(cut.length, Math.max(0, -from));
  const end = Math.max(first, Math.min(cut.length, x.length - from));
  cut.fill(0, 0, first);
  for (let i = first; i < end; i++) cut[i] = x[from + i]! * window[i]!;
  cut.fill(0, end);
}

function sumBands({ from, weights }: Bands, lines: Float64Array, sums: Float64Array) {
  for (let b = 0, w = 0; b < BINS; b++) {
    const end = from[2 * b + 1]!;
    let sum = 0;
    for (let i = from[2 * b]!; i < end; i++, w++) sum += weights[w]! * lines[i]!;
    sums[b] = sum;
  }
}

function percentile95(values: Float64Array): number {
  if (values.length === 0) return 0;
  const sorted = Float64Array.from(values).sort();
  const at = 0.95 * (sorted.length - 1);
  const low = Math.floor(at);
  const next = sorted[Math.min(sorted.length - 1, low + 1)]!;
  return sorted[low]! + (next - sorted[low]!) * (at - low);
}
