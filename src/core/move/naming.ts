import type { Chord } from '../theory/chord';
import { type Degree, pitchOfDegree } from '../theory/degree';
import { alterSign, midiOf, type Pitch } from '../theory/pitch';

/** The pitch of a degree over a chord that sounds `midi`; null beyond double accidentals. */
export function pitchNear(chord: Chord, d: Degree, midi: number): Pitch | null {
  const named = pitchOfDegree({ ...chord.root, octave: 4 }, d);
  if (named === null) return null;
  return { ...named, octave: named.octave + Math.round((midi - midiOf(named)) / 12) };
}

/** Letter and accidental as set on the page, for reports. */
export function nameOfPitch(p: Pitch): string {
  return `${p.letter}${alterSign(p.alter)}`;
}
