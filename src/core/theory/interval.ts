import {
  aboveC,
  letterIndex,
  midiOf,
  mod,
  type Pitch,
  type PitchClass,
  pitchAt,
  staffStep,
} from './pitch';

/**
 * A spelled interval (P2): how many staff steps and how many semitones it spans, both signed.
 * Up a perfect fourth is { steps: 3, semitones: 5 }; an octave { steps: 7, semitones: 12 }.
 */
export interface Interval {
  readonly steps: number;
  readonly semitones: number;
}

export const UNISON: Interval = { steps: 0, semitones: 0 };
export const OCTAVE: Interval = { steps: 7, semitones: 12 };

/** The interval that leads from `a` to `b`. */
export function intervalBetween(a: Pitch, b: Pitch): Interval {
  return { steps: staffStep(b) - staffStep(a), semitones: midiOf(b) - midiOf(a) };
}

/** The ascending interval, less than an octave in steps (0 to 6), from one pitch class to another. */
export function classInterval(a: PitchClass, b: PitchClass): Interval {
  // Asked of every note for every chord and key.
  const steps = letterIndex(b.letter) - letterIndex(a.letter);
  const semitones = aboveC(b) - aboveC(a);
  return steps < 0 ? { steps: steps + 7, semitones: semitones + 12 } : { steps, semitones };
}

/** One interval after the other; letters add up as semitones do (P2). */
export function addIntervals(a: Interval, b: Interval): Interval {
  return { steps: a.steps + b.steps, semitones: a.semitones + b.semitones };
}

/** So many octaves, down where negative. */
export function octaves(n: number): Interval {
  return { steps: 7 * n, semitones: 12 * n };
}

/** The same interval the other way. */
export function invertInterval(i: Interval): Interval {
  return { steps: -i.steps, semitones: -i.semitones };
}

/**
 * Transposes by a spelled interval; letters stay consistent (P2).
 * Null when the result would need more than a double accidental: the caller respells (P5).
 */
export function transpose(p: Pitch, i: Interval): Pitch | null {
  return pitchAt(staffStep(p) + i.steps, midiOf(p) + i.semitones);
}

/** `transpose` for a pitch class; null under the same condition. */
export function transposeClass(p: PitchClass, i: Interval): PitchClass | null {
  const moved = transpose({ ...p, octave: 4 }, i);
  return moved === null ? null : { letter: moved.letter, alter: moved.alter };
}

const PERFECT = new Set([0, 3, 4]);
const MAJOR_SEMITONES = [0, 2, 4, 5, 7, 9, 11];

/** Name in the trade's shorthand: `P4`, `-m3`, `A4`, `d5`, `M10`. */
export function formatInterval(i: Interval): string {
  const down = i.steps < 0 || (i.steps === 0 && i.semitones < 0);
  const steps = Math.abs(i.steps);
  const semitones = down ? -i.semitones : i.semitones;
  const within = mod(steps, 7);
  const natural = MAJOR_SEMITONES[within]! + 12 * Math.floor(steps / 7);
  const off = semitones - natural;
  let quality: string;
  if (PERFECT.has(within)) quality = off === 0 ? 'P' : off > 0 ? 'A'.repeat(off) : 'd'.repeat(-off);
  else
    quality = off === 0 ? 'M' : off === -1 ? 'm' : off > 0 ? 'A'.repeat(off) : 'd'.repeat(-off - 1);
  return `${down ? '-' : ''}${quality}${steps + 1}`;
}
