import type { PitchedNote } from '../phrase/types';
import { heardPitch } from '../phrase/walk';
import { type Degree, degreeSign } from '../theory/degree';
import { type Pitch, pitchClassSign } from '../theory/pitch';

/** A pitch in a sentence: `E♭`. */
export function pitchName(p: Pitch): string {
  return pitchClassSign(p);
}

/** What a listener takes a note for (D5), in a sentence. */
export function nameOf(n: PitchedNote): string {
  return pitchName(heardPitch(n));
}

/** `E♭, the ♭3`. */
export function withDegree(pitch: Pitch, degree: Degree): string {
  const sign = degreeSign(degree);
  return `${pitchName(pitch)}, the ${sign === 'R' ? 'root' : sign}`;
}
