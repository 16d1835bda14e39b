import { readFileSync } from 'node:fs';
import { background, type Cells, eachFrame, fineCells, melCells, powerAt, RATE } from './spectrum';

/** A note as it was annotated. */
export interface TakenNote {
  /** 0 = low E. */
  readonly string: number;
  readonly fret: number;
  /** Seconds: the steepest rise of the note's own partials near the mark. */
  readonly at: number;
  readonly length: number;
  readonly midi: number;
  /** Annotated pitch, seconds from the onset to MIDI number; held at the ends. */
  readonly pitch: (t: number) => number;
  /** Decibels about the middle loudness of the take. */
  readonly level: number;
}

export interface Recording {
  readonly samples: Float32Array;
  readonly notes: readonly TakenNote[];
  readonly mel: readonly Cells[];
  readonly melBackground: readonly Float32Array[];
  readonly fine: Cells;
  readonly fineBackground: Float32Array;
  /** Energy of every note's own partials. */
  readonly energies: readonly number[];
}

/** A note rendered alone; `lead` samples lie before its onset. */
export interface Stem {
  readonly samples: Float32Array;
  readonly lead: number;
}

const OPEN = [40, 45, 50, 55, 59, 64];
const toHertz = (midi: number) => 440 * 2 ** ((midi - 69) / 12);

/** Reads a take of GuitarSet: annotations and the microphone's recording. */
export function readTake(jams: string, wav: string): Recording {
  const samples = readWav(readFileSync(wav));
  const marked = readNotes(readFileSync(jams, 'utf8'));
  const timed = marked.map((n) => ({ ...n, at: steepest(samples, n) }));
  const own = masks(timed);
  const powers = lowPowers(samples);
  const energies = own.map((m) => energy(powers, m));
  const loud = energies.map((e, i) => 10 * Math.log10(e / (own[i]!.to - own[i]!.from + 1)));
  const middle = [...loud].sort((a, b) => a - b)[loud.length >> 1]!;
  const notes = timed.map((n, i) => ({
    ...n,
    level: Math.max(-15, Math.min(10, loud[i]! - middle)),
  }));
  const mel = melCells(samples);
  const fine = fineCells(samples);
  return {
    samples,
    notes,
    mel,
    melBackground: mel.map(background),
    fine,
    fineBackground: background(fine),
    energies,
  };
}

/** PCM of 16 bits, one channel (RIFF WAVE). */
export function readWav(bytes: Buffer): Float32Array {
  let at = 12;
  while (bytes.toString('latin1', at, at + 4) !== 'data') at += 8 + bytes.readUInt32LE(at + 4);
  const count = bytes.readUInt32LE(at + 4) / 2;
  return Float32Array.from({ length: count }, (_, i) => bytes.readInt16LE(at + 8 + 2 * i) / 32_768);
}

interface JamsPart {
  readonly namespace: string;
  readonly annotation_metadata: { readonly data_source: string };
  readonly data: unknown;
}
interface Contour {
  readonly time: readonly number[];
  readonly value: readonly { readonly frequency: number; readonly voiced: boolean }[];
}
interface Marked {
  readonly time: number;
  readonly duration: number;
  readonly value: number;
}

function readNotes(text: string): Omit<TakenNote, 'level'>[] {
  const parts = (JSON.parse(text) as { annotations: readonly JamsPart[] }).annotations;
  const part = (namespace: string, string: number) =>
    parts.find(
      (p) => p.namespace === namespace && Number(p.annotation_metadata.data_source) === string,
    )?.data;
  const notes = OPEN.flatMap((open, string) => {
    const contour = part('pitch_contour', string) as Contour;
    const list = (part('note_midi', string) ?? []) as readonly Marked[];
    return list.map((n) => ({
      string,
      fret: Math.max(0, Math.round(n.value) - open),
      at: n.time,
      length: n.duration,
      midi: n.value,
      pitch: pitchOf(n, contour),
    }));
  });
  return notes.sort((a, b) => a.at - b.at);
}

/** The contour within a note, the median of five, held at the ends. */
function pitchOf(n: Marked, contour: Contour): (t: number) => number {
  const times: number[] = [];
  const raw: number[] = [];
  contour.time.forEach((t, i) => {
    const { frequency, voiced } = contour.value[i]!;
    if (t < n.time || t > n.time + n.duration || !(frequency > 0) || !voiced) return;
    const midi = 69 + 12 * Math.log2(frequency / 440);
    if (Math.abs(midi - n.value) > 2.5) return;
    times.push(t - n.time);
    raw.push(midi);
  });
  if (times.length < 3) return () => n.value;
  const smooth = raw.map((_, i) => {
    const five = raw.slice(Math.max(0, i - 2), i + 3).sort((a, b) => a - b);
    return five[five.length >> 1]!;
  });
  return (t) => {
    const next = times.findIndex((x) => x > t);
    if (next === 0) return smooth[0]!;
    if (next < 0) return smooth.at(-1)!;
    const share = (t - times[next - 1]!) / (times[next]! - times[next - 1]!);
    return smooth[next - 1]! + share * (smooth[next]! - smooth[next - 1]!);
  };
}

/** The steepest rise of the note's own partials between 50 ms before and 30 ms after its mark. */
function steepest(x: Float32Array, n: Omit<TakenNote, 'level'>): number {
  const size = 1024;
  const hertz = toHertz(n.pitch(0.05));
  const power = new Float64Array(size / 2 + 1);
  const times: number[] = [];
  const sizes: number[] = [];
  for (let t = n.at - 0.05; t <= n.at + 0.03; t += 0.0025) {
    powerAt(x, Math.round(t * RATE), size, power);
    let sum = 0;
    for (let h = 1; h <= 16 && h * hertz < 6000; h++) {
      const k = Math.round((h * hertz * size) / RATE);
      for (let q = Math.max(1, k - 1); q <= k + 1; q++) sum += Math.sqrt(power[q]!);
    }
    times.push(t);
    sizes.push(sum);
  }
  let best = Number.NEGATIVE_INFINITY;
  let at = n.at;
  for (let i = 4; i < sizes.length - 2; i++) {
    const rise = sizes[i + 2]! - sizes[i - 2]!;
    if (rise > best) {
      best = rise;
      at = times[i]!;
    }
  }
  return at;
}

/** Frames and bins that belong to a note: its first partials less those of others that sound. */
interface Mask {
  readonly from: number;
  readonly to: number;
  readonly bins: readonly number[];
}

const MASK_SIZE = 4096;
const MASK_HOP = 1024;
const MASK_BINS = 500;

function masks(notes: readonly Omit<TakenNote, 'level'>[]): readonly Mask[] {
  const partials = notes.map((n) => {
    const bins = new Set<number>();
    for (let h = 1; h <= 12; h++) {
      const k = Math.round((h * toHertz(n.pitch(0.08)) * MASK_SIZE) / RATE);
      if (k < MASK_BINS - 2) for (let q = -1; q <= 1; q++) bins.add(k + q);
    }
    return bins;
  });
  return notes.map((n, i) => {
    const start = n.at + 0.02;
    const end = n.at + Math.max(0.06, Math.min(n.length, 0.35));
    const own = new Set(partials[i]!);
    notes.forEach((m, j) => {
      if (j === i || m.at >= end || m.at + m.length <= start) return;
      for (const k of partials[j]!) own.delete(k);
    });
    const from = Math.ceil((start * RATE) / MASK_HOP);
    const to = Math.max(from, Math.floor((end * RATE) / MASK_HOP));
    return { from, to, bins: [...(own.size >= 6 ? own : partials[i]!)] };
  });
}

function lowPowers(x: Float32Array): Cells {
  const frames = Math.ceil(x.length / MASK_HOP);
  const cells = new Float32Array(frames * MASK_BINS);
  eachFrame(x, MASK_SIZE, MASK_HOP, (k, power) => {
    for (let i = 0; i < MASK_BINS; i++) cells[k * MASK_BINS + i] = power[i]!;
  });
  return { cells, frames, bands: MASK_BINS, hop: MASK_HOP };
}

function energy({ cells, frames }: Cells, { from, to, bins }: Mask): number {
  let sum = 1e-12;
  for (let k = from; k <= to && k < frames; k++) {
    for (const b of bins) sum += cells[k * MASK_BINS + b]!;
  }
  return sum;
}

/** The onset of a stem: where it first crosses 12% of its peak. */
export function stemOf(samples: Float32Array): Stem {
  let peak = 0;
  const first = Math.min(samples.length, Math.round(0.12 * RATE));
  for (let i = 0; i < first; i++) peak = Math.max(peak, Math.abs(samples[i]!));
  const lead = samples.findIndex((v) => Math.abs(v) >= 0.12 * peak);
  return { samples, lead: Math.max(0, lead) };
}

/** All stems at their notes' onsets, each with its gain. */
export function mixed(
  take: Recording,
  stems: readonly Stem[],
  gains: readonly number[],
): Float32Array {
  const out = new Float32Array(take.samples.length);
  stems.forEach(({ samples, lead }, i) => {
    const from = Math.round(take.notes[i]!.at * RATE) - lead;
    const gain = gains[i]!;
    for (let k = 0; k < samples.length; k++) {
      const at = from + k;
      if (at >= 0 && at < out.length) out[at] = out[at]! + gain * samples[k]!;
    }
  });
  return out;
}

/** Gains by which every note's own partials carry the energy they have in the recording. */
export function aligned(take: Recording, stems: readonly Stem[], rounds = 3): readonly number[] {
  const own = masks(take.notes);
  let gains: readonly number[] = stems.map(() => 1);
  for (let round = 0; round < rounds; round++) {
    const powers = lowPowers(mixed(take, stems, gains));
    gains = gains.map((g, i) => {
      const by = Math.sqrt(take.energies[i]! / energy(powers, own[i]!));
      return g * (round === 0 ? by : Math.max(0.35, Math.min(3, by)));
    });
  }
  return gains;
}
