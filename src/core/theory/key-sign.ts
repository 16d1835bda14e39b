import { formatKey, type Key } from './key';
import { alterSign, type PitchClass } from './pitch';

/** The note typeset, without octave: `E♭`. */
export function pitchClassSign({ letter, alter }: PitchClass): string {
  return letter + alterSign(alter);
}

/** The key typeset, as it stands in what a person reads: `E♭`, `F♯m`, `B♭ blues`. `formatKey` is what is typed and stored. */
export function keySign(k: Key): string {
  return pitchClassSign(k.tonic) + formatKey({ ...k, tonic: { letter: 'C', alter: 0 } }).slice(1);
}
