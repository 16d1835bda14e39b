import type { Recording } from './recording';
import { BAND_HERTZ, type Cells, decibels, fineCells, melCells, RATE } from './spectrum';

/** What is further below the loudest cell of a note than this is not heard, in decibels. */
export const RANGE = 45;

/** How far a rendering is from a recording, note by note; NaN where a note is too short. */
export interface Distances {
  /** Mean difference of the mel spectrograms in decibels, the best gain and shift taken. */
  readonly mel: readonly number[];
  /** The same of third-semitone bands. */
  readonly fine: readonly number[];
  /** Decay of the rendering less that of the recording, decibels a second, by band. */
  readonly decay: readonly (readonly number[])[];
  /** Spectral centroid less that of the recording, octaves, at four times. */
  readonly centroid: readonly (readonly number[])[];
}

/** Upper ends of the decay's bands in hertz, and the times of the centroid in seconds. */
export const DECAY_BANDS = [500, 1500, 4000, 11_000] as const;
export const CENTROID_TIMES = [0, 0.03, 0.1, 0.25, 0.6] as const;

export function distances(take: Recording, rendered: Float32Array): Distances {
  const mel = melCells(rendered);
  const fine = fineCells(rendered);
  const notes = take.notes.map((n) => {
    const length = Math.max(0.06, Math.min(n.length, 0.7));
    const a = course(take.mel[1]!, n.at, length, null);
    const b = course(mel[1]!, n.at, length, take.melBackground[1]!);
    return {
      mel: melDistance(take, mel, n.at, length),
      fine: fineDistance(take, fine, n.at, Math.min(n.length, 0.7)),
      decay: a.decay.map((v, i) => b.decay[i]! - v),
      centroid: a.centroid.map((v, i) => b.centroid[i]! - v),
    };
  });
  return {
    mel: notes.map((n) => n.mel),
    fine: notes.map((n) => n.fine),
    decay: notes.map((n) => n.decay),
    centroid: notes.map((n) => n.centroid),
  };
}

/** Pairs of decibels of a window in two spectrograms. */
interface Pairs {
  readonly ours: number[];
  readonly theirs: number[];
  readonly floor: number;
}

function pairs(
  a: Cells,
  b: Cells,
  from: number,
  shifted: number,
  frames: number,
  hiss: Float32Array,
): Pairs {
  const ours: number[] = [];
  const theirs: number[] = [];
  let most = -200;
  for (let k = 0; k < frames; k++) {
    if (from + k < 0 || shifted + k < 0 || from + k >= a.frames || shifted + k >= b.frames)
      continue;
    for (let i = 0; i < a.bands; i++) {
      const v = decibels(a.cells[(from + k) * a.bands + i]!);
      theirs.push(v);
      ours.push(decibels(b.cells[(shifted + k) * a.bands + i]! + hiss[i]!));
      most = Math.max(most, v);
    }
  }
  return { ours, theirs, floor: most - RANGE };
}

function difference({ ours, theirs, floor }: Pairs, gain: number): number {
  let sum = 0;
  for (let i = 0; i < ours.length; i++) {
    sum += Math.abs(Math.max(floor, theirs[i]!) - Math.max(floor, ours[i]! + gain));
  }
  return sum / Math.max(1, ours.length);
}

const GAINS = Array.from({ length: 13 }, (_, i) => i - 6);

function melDistance(take: Recording, mel: readonly Cells[], at: number, length: number): number {
  let best = Number.POSITIVE_INFINITY;
  for (const shift of [-256, 0, 256]) {
    const all = take.mel.map((a, r) => {
      const from = Math.round(((at - 0.008) * RATE) / a.hop);
      const shifted = Math.round(((at - 0.008) * RATE + shift) / a.hop);
      const frames = Math.max(2, Math.round(((length + 0.008) * RATE) / a.hop));
      return pairs(a, mel[r]!, from, shifted, frames, take.melBackground[r]!);
    });
    for (const gain of GAINS) {
      best = Math.min(best, mean(all.map((p) => difference(p, gain))));
    }
  }
  return best;
}

function fineDistance(take: Recording, fine: Cells, at: number, length: number): number {
  if (length < 0.12) return Number.NaN;
  const from = Math.round(((at + 0.06) * RATE) / fine.hop);
  const frames = Math.max(1, Math.round(((length - 0.08) * RATE) / fine.hop));
  const all = pairs(take.fine, fine, from, from, frames, take.fineBackground);
  return Math.min(...GAINS.map((gain) => difference(all, gain)));
}

/** Decay by band between 40 ms and the end, and centroid at four times. */
function course(
  { cells, frames, bands, hop }: Cells,
  at: number,
  length: number,
  hiss: Float32Array | null,
): { readonly decay: readonly number[]; readonly centroid: readonly number[] } {
  const hertz = BAND_HERTZ[1]!;
  const rate = RATE / hop;
  const from = Math.round(at * rate);
  const count = Math.min(Math.round(length * rate), frames - from);
  const energies = DECAY_BANDS.map(() => new Float64Array(Math.max(0, count)));
  const centroids = new Float64Array(Math.max(0, count));
  for (let k = 0; k < count; k++) {
    let weight = 0;
    let sum = 0;
    for (let b = 0; b < bands; b++) {
      const v = cells[(from + k) * bands + b]! + (hiss?.[b] ?? 0);
      const band = energies[DECAY_BANDS.findIndex((top) => hertz[b]! < top)];
      if (band !== undefined) band[k] = band[k]! + v;
      weight += Math.sqrt(v);
      sum += Math.sqrt(v) * Math.log2(hertz[b]!);
    }
    centroids[k] = sum / weight;
  }
  const decay = energies.map((e) =>
    slope([...e].slice(Math.round(0.04 * rate)).map(decibels), rate),
  );
  const centroid = CENTROID_TIMES.slice(0, -1).map((t, i) => {
    const part = centroids.slice(Math.round(t * rate), Math.round(CENTROID_TIMES[i + 1]! * rate));
    return part.length < 2 ? Number.NaN : mean([...part]);
  });
  return { decay, centroid };
}

/** Straight line through values, change a second; NaN for less than 120 ms. */
function slope(values: readonly number[], rate: number): number {
  const n = values.length;
  if (n < 0.12 * rate) return Number.NaN;
  const middle = (n - 1) / 2;
  const level = mean(values);
  let xy = 0;
  let xx = 0;
  values.forEach((y, i) => {
    xy += ((i - middle) / rate) * (y - level);
    xx += ((i - middle) / rate) ** 2;
  });
  return xy / xx;
}

/** Mean over what is a number. */
export function mean(values: readonly number[]): number {
  const finite = values.filter(Number.isFinite);
  return finite.reduce((a, b) => a + b, 0) / finite.length;
}

export function median(values: readonly number[]): number {
  const finite = values.filter(Number.isFinite).sort((a, b) => a - b);
  return finite[finite.length >> 1] ?? Number.NaN;
}

/** Middle and 95% interval by drawing notes again 2,000 times, seeded. */
export function interval(
  values: readonly number[],
  of: (values: readonly number[]) => number = mean,
): readonly [middle: number, low: number, high: number] {
  const finite = values.filter(Number.isFinite);
  let state = 7;
  const draw = () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return finite[Math.floor((state / 0x1_0000_0000) * finite.length)]!;
  };
  const drawn = Array.from({ length: 2000 }, () => of(finite.map(draw))).sort((a, b) => a - b);
  return [of(finite), drawn[50]!, drawn[1949]!];
}
