import { type Chord, chordTones } from '../theory/chord';
import { homeScale, rowAcceptsSource, tableRow } from '../theory/chord-scale';
import {
  type Degree,
  degree,
  degreeSemitones,
  isUsualDegree,
  sameDegree,
  USUAL_DEGREES,
} from '../theory/degree';
import { mod } from '../theory/pitch';

/** How M3 settled a degree. */
export type DegreeRule = 'row' | 'kept' | 'interval';

export interface MovedDegree {
  readonly degree: Degree;
  readonly rule: DegreeRule;
}

/** Whether two chords have one row of the quality table and one set of tones: then nothing changes. */
export function sameQuality(a: Chord, b: Chord): boolean {
  return sameList(homeScale(a), homeScale(b)) && sameList(chordTones(a), chordTones(b));
}

function sameList(a: readonly Degree[], b: readonly Degree[]): boolean {
  return a.length === b.length && a.every((d, i) => sameDegree(d, b[i]!));
}

/** Whether the degree stands in the chord's row of the quality table, so that M3 (2) moves it. */
export function inRow(chord: Chord, d: Degree): boolean {
  return rowAcceptsSource(chord, d) !== null;
}

/**
 * M3 steps 2, 4 and 5 for one degree: the entry of the target's row under the same number; an
 * unresolved ♭3 or ♭5 as it is; anything else at its interval from the root.
 */
export function moveDegree(source: Chord, target: Chord, d: Degree): MovedDegree {
  if (sameQuality(source, target)) return { degree: d, rule: 'row' };
  const column = rowAcceptsSource(source, d);
  if (column === 1) return { degree: degree(1), rule: 'row' };
  if (column !== null) return { degree: tableRow(target)[column] ?? d, rule: 'row' };
  if (isFlatThirdOrFifth(d)) return { degree: d, rule: 'kept' };
  return { degree: spellByRow(target, d), rule: 'interval' };
}

/** Whether a degree is ♭3 or ♭5, which keep their pitch where they do not resolve (M3, rule 4). */
export function isFlatThirdOrFifth(d: Degree): boolean {
  return d.alter === -1 && (d.number === 3 || d.number === 5);
}

/** M8: the target row's own degree at this pitch where it has one, else the degree as it is. */
export function spellByRow(target: Chord, d: Degree): Degree {
  return rowDegreeAt(target, degreeSemitones(d)) ?? d;
}

/** The degree of the row (chord tones first) that sounds `semitones` above the root, or null. */
export function rowDegreeAt(chord: Chord, semitones: number): Degree | null {
  const same = (d: Degree) => mod(degreeSemitones(d) - semitones, 12) === 0;
  return chordTones(chord).find(same) ?? homeScale(chord).find(same) ?? null;
}

/**
 * M8 for a note led by its goal: the row's degree at the pitch, else the name the interval to the
 * goal gives where that is a usual name, else the usual name (D1), the one on the same side as the
 * goal's letter first.
 * @param byGoal The name the spelled interval to the goal would give; null beyond double accidentals.
 */
export function spellLed(target: Chord, semitones: number, byGoal: Degree | null): Degree {
  const row = rowDegreeAt(target, semitones);
  if (row !== null) return row;
  if (byGoal !== null && isUsualDegree(byGoal)) return byGoal;
  return USUAL_DEGREES[mod(semitones, 12)]![0]!;
}

/** A degree in D1's usual list for a pitch that keeps its sound: its own name, the row's, or the first. */
export function usualName(chord: Chord, d: Degree): Degree {
  if (isUsualDegree(d)) return d;
  return rowDegreeAt(chord, degreeSemitones(d)) ?? USUAL_DEGREES[mod(degreeSemitones(d), 12)]![0]!;
}
