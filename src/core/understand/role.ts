import type { Role } from '../phrase/types';
import {
  type Chord,
  chordTones,
  hasMajorThird,
  hasPerfectFifth,
  hasSeventh,
} from '../theory/chord';
import { homeScale } from '../theory/chord-scale';
import { type Degree, degree, sameDegree } from '../theory/degree';

const THIRD = degree(3);
const FLAT_THIRD = degree(3, -1);
const FLAT_FIFTH = degree(5, -1);
const SHARP_FOURTH = degree(4, 1);
const FLAT_SEVENTH = degree(7, -1);

/**
 * A blue note (D3): ♭3 over a major third or a power chord (M4), ♭5 or ♯4 over a perfect fifth, ♭7 over a
 * major chord without a seventh.
 */
export function isBlueNote(chord: Chord, d: Degree): boolean {
  if (sameDegree(d, FLAT_THIRD)) return hasMajorThird(chord) || chord.kind === 'power';
  if (sameDegree(d, FLAT_FIFTH) || sameDegree(d, SHARP_FOURTH)) return hasPerfectFifth(chord);
  if (sameDegree(d, FLAT_SEVENTH)) return hasMajorThird(chord) && !hasSeventh(chord);
  return false;
}

/** Whether a degree is a 3 over a power chord, which counts as the chord's third (M4). */
export function isPowerThird(chord: Chord, d: Degree): boolean {
  return chord.kind === 'power' && sameDegree(d, THIRD);
}

/** Whether a degree lies in the chord's home scale: R and its row of the table (M4). */
export function inHomeScale(chord: Chord, d: Degree): boolean {
  return homeScale(chord).some((s) => sameDegree(s, d));
}

/** Semitones to and from the neighbours of a note in its voice; null at an end or over a rest. */
export interface Surroundings {
  /** This note minus the one before. */
  readonly entered: number | null;
  /** The next note minus this one. */
  readonly left: number | null;
  /** Semitones from this note to its goal (D4). */
  readonly toGoal: number | null;
}

const isStep = (n: number | null): n is number => n !== null && n !== 0 && Math.abs(n) <= 2;

/** The role of a heard degree over its chord, in D3's order of precedence below what the user says. */
export function roleOf(chord: Chord, d: Degree, around: Surroundings): Role {
  if (chordTones(chord).some((t) => sameDegree(t, d)) || isPowerThird(chord, d))
    return 'chord tone';
  if (isBlueNote(chord, d)) return 'blue note';
  const home = inHomeScale(chord, d);
  if (!home && around.toGoal !== null && Math.abs(around.toGoal) === 1) return 'approach';
  if (isStep(around.entered) && isStep(around.left)) {
    if (Math.sign(around.entered) === Math.sign(around.left)) return 'passing';
    if (around.entered === -around.left) return 'neighbour';
  }
  if (home && (d.number === 2 || d.number === 4 || d.number === 6)) return 'extension';
  return 'outside';
}
