import { classInterval, type Interval, transpose, transposeClass } from './interval';
import {
  type Alter,
  alterSign,
  alterText,
  isAlter,
  type Midi,
  midiOf,
  mod,
  type Pitch,
  type PitchClass,
  parseAlter,
} from './pitch';

export type DegreeNumber = 1 | 2 | 3 | 4 | 5 | 6 | 7;

/**
 * What a note is above a root (D1): number 1 (written R) to 7, altered by −2 to +2 semitones
 * against the major scale on that root.
 */
export interface Degree {
  readonly number: DegreeNumber;
  readonly alter: Alter;
}

const MAJOR_SEMITONES: Record<DegreeNumber, number> = { 1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 11 };

export const ROOT: Degree = { number: 1, alter: 0 };

/** A degree by its number from 1 (R) to 7 and its alteration in semitones (D1). */
export function degree(number: DegreeNumber, alter: Alter = 0): Degree {
  return { number, alter };
}

/** Semitones above the root; ♭R is −1, so the range is −2 to 13. */
export function degreeSemitones(d: Degree): number {
  return MAJOR_SEMITONES[d.number] + d.alter;
}

/** The ascending spelled interval from the root to the degree. */
export function degreeInterval(d: Degree): Interval {
  return { steps: d.number - 1, semitones: degreeSemitones(d) };
}

/** Whether two degrees are spelled the same; ♭3 and ♯2 are not. */
export function sameDegree(a: Degree, b: Degree): boolean {
  return a.number === b.number && a.alter === b.alter;
}

/**
 * The names in common use, one to three for each semitone above the root (D1); where there are
 * several, the more usual in dominant harmony first. Common practice.
 */
export const USUAL_DEGREES: readonly (readonly Degree[])[] = [
  [degree(1)],
  [degree(2, -1)],
  [degree(2)],
  [degree(3, -1), degree(2, 1)],
  [degree(3)],
  [degree(4)],
  [degree(5, -1), degree(4, 1)],
  [degree(5)],
  [degree(6, -1), degree(5, 1)],
  [degree(6), degree(7, -2)],
  [degree(7, -1)],
  [degree(7)],
];

/** Whether the name stands in D1's list of usual names. */
export function isUsualDegree(d: Degree): boolean {
  return USUAL_DEGREES[mod(degreeSemitones(d), 12)]!.some((u) => sameDegree(u, d));
}

/**
 * The degree of a spelled pitch over a root (D1). Where the spelling lies further than a double
 * alteration from the root's major scale (D♯♯ over C♭♭, say) the first usual name for the same
 * semitone is given, since D1 has no name for it.
 */
export function degreeOf(root: PitchClass, p: PitchClass): Degree {
  const i = classInterval(root, p);
  const number = (i.steps + 1) as DegreeNumber;
  const alter = i.semitones - MAJOR_SEMITONES[number];
  if (isAlter(alter)) return { number, alter };
  return USUAL_DEGREES[mod(i.semitones, 12)]![0]!;
}

/** The pitch class of a degree over a root, or null beyond a double accidental. */
export function pitchClassOf(root: PitchClass, d: Degree): PitchClass | null {
  return transposeClass(root, degreeInterval(d));
}

/** The pitch of a degree above a root in a known octave, or null beyond a double accidental. */
export function pitchOfDegree(root: Pitch, d: Degree): Pitch | null {
  return transpose(root, degreeInterval(d));
}

/** The pitch of a degree in the octave nearest to a sound; null beyond double accidentals. */
export function degreeNearMidi(root: PitchClass, d: Degree, midi: Midi): Pitch | null {
  const named = pitchOfDegree({ ...root, octave: 4 }, d);
  if (named === null) return null;
  return { ...named, octave: named.octave + Math.round((midi - midiOf(named)) / 12) };
}

/** ASCII name (D1): `R b3 3 #4 bb7`. */
export function formatDegree(d: Degree): string {
  return alterText(d.alter) + (d.number === 1 ? 'R' : d.number);
}

/** Typeset name: `R ♭3 3 ♯4 𝄫7`. */
export function degreeSign(d: Degree): string {
  return alterSign(d.alter) + (d.number === 1 ? 'R' : d.number);
}

const DEGREE_TEXT = /^(bb|##|♭♭|♯♯|𝄫|𝄪|b|#|♭|♯)?(R|r|[1-7]|9|11|13)$/u;

/** Reads `R`, `1`, `b3`, `♭3`, `#4`, `bb7`, and 9, 11, 13 as 2, 4, 6. Null when it is no degree. */
export function parseDegree(text: string): Degree | null {
  const m = DEGREE_TEXT.exec(text.trim());
  if (m === null) return null;
  const name = m[2]!;
  const raw = name === 'R' || name === 'r' ? 1 : Number(name);
  const number = (raw > 7 ? raw - 7 : raw) as DegreeNumber;
  const alter = parseAlter(m[1] ?? '');
  return alter === null ? null : { number, alter };
}
