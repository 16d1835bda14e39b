import type { NoteId } from '../phrase/types';
import type { HeardAttack, HeardNote, HeardPitch } from './types';

/** The version of the stored form that this code writes. */
export const PLAYED_VERSION = 1;

/**
 * A phrase as it was played, beside the phrase as it is written: the player's own times and pitches, without the
 * sound. Seconds count from a little before its first note.
 */
export interface AsPlayed {
  readonly format: 'degreewise-played';
  readonly version: typeof PLAYED_VERSION;
  /** Of the phrase. */
  readonly id: string;
  /** When it was kept, ISO 8601 in UTC. */
  readonly kept: string;
  /** Length of it all. */
  readonly seconds: number;
  /** The second at which the phrase begins as it is written. */
  readonly begin: number;
  /** Seconds at which bars begin as they are written. */
  readonly bars: readonly number[];
  /** Ascending by onset. */
  readonly sounds: readonly PlayedSound[];
  /** What the player changed of what was heard, in words. */
  readonly corrected: readonly string[];
}

/** What a note of the phrase was when it was played. */
export interface PlayedSound {
  readonly note: NoteId;
  readonly onset: number;
  readonly end: number;
  /** MIDI number, with cents as its fraction. */
  readonly pitch: number;
  /** 0 to 1. */
  readonly confidence: number;
  /** Absent where it was plucked. */
  readonly attack?: Exclude<HeardAttack, 'pluck'>;
  readonly muted?: true;
  /** Corners of its pitch: seconds from its onset, and MIDI numbers. Empty where only the one pitch is known. */
  readonly pitches: readonly (readonly [at: number, midi: number])[];
}

/** A line through the corners is nowhere further from what was heard than this, in semitones: nobody hears 2 cents. */
const CLOSE = 0.02;
/** More is not kept of one note: of minutes of vibrato the rest is left to the line. */
const MOST_CORNERS = 4096;
/** More changes are not told of one phrase. */
export const MOST_CORRECTED = 1000;

/** What of a heard note is kept, with times counted from a second of the recording. */
export function playedSound(note: NoteId, n: HeardNote, from: number): PlayedSound {
  return {
    note,
    onset: rounded(n.onset - from, 1e4),
    end: rounded(Math.max(n.onset, n.end) - from, 1e4),
    pitch: rounded(n.pitch, 1e3),
    confidence: rounded(n.confidence, 1e3),
    ...(n.attack === 'pluck' ? {} : { attack: n.attack }),
    ...(n.muted ? { muted: true } : {}),
    pitches: cornersOf(n.curve, CLOSE)
      .slice(0, MOST_CORNERS)
      .map((c) => [rounded(Math.max(0, c.at - n.onset), 1e3), rounded(c.midi, 1e3)]),
  };
}

/** Its pitch as a curve, in seconds of the whole. */
export function curveOf({ onset, end, pitch, pitches }: PlayedSound): readonly HeardPitch[] {
  const corners = pitches.length > 0 ? pitches : ([[0, pitch]] as const);
  const curve = corners.map(([at, midi]) => ({ at: onset + at, midi }));
  // A line has two ends.
  return curve.length > 1 ? curve : [curve[0]!, { ...curve[0]!, at: end }];
}

/** One of several of one phrase: the one that was kept last. */
export function laterPlayed(a: AsPlayed, b: AsPlayed): AsPlayed {
  return Date.parse(b.kept) > Date.parse(a.kept) ? b : a;
}

const rounded = (x: number, parts: number) => Math.round(x * parts) / parts;

/** Those points of a curve between which straight lines stay close to it (Douglas and Peucker 1973). */
function cornersOf(curve: readonly HeardPitch[], close: number): readonly HeardPitch[] {
  const kept = new Set([0, curve.length - 1]);
  const open: (readonly [number, number])[] = [[0, curve.length - 1]];
  for (let span = open.pop(); span !== undefined; span = open.pop()) {
    const [first, last] = span;
    const [a, b] = [curve[first], curve[last]];
    if (a === undefined || b === undefined) continue;
    let far = close;
    let at = -1;
    for (let i = first + 1; i < last; i++) {
      const c = curve[i]!;
      const line = a.midi + ((b.midi - a.midi) * (c.at - a.at)) / (b.at - a.at || 1);
      const off = Math.abs(c.midi - line);
      if (off > far) [far, at] = [off, i];
    }
    if (at < 0) continue;
    kept.add(at);
    open.push([first, at], [at, last]);
  }
  return curve.filter((_, i) => kept.has(i));
}
