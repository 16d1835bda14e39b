import type { Attack } from '../phrase/types';
import type { Chord } from '../theory/chord';
import { type Degree, degreeNearMidi } from '../theory/degree';
import { type Pitch, pitchClassSign } from '../theory/pitch';

/** The pitch of a degree over a chord that sounds `midi`; null beyond double accidentals. */
export function pitchNear(chord: Chord, d: Degree, midi: number): Pitch | null {
  return degreeNearMidi(chord.root, d, midi);
}

/** Letter and accidental as set on the page, for reports. */
export function nameOfPitch(p: Pitch): string {
  return pitchClassSign(p);
}

/** What leads to a note, as a player calls it. */
export function attackWord(attack: Attack): string {
  return attack === 'slide-plucked' ? 'slide' : attack;
}
