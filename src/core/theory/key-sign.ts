import { formatKey, type Key } from './key';
import { pitchClassSign } from './pitch';

/** The key typeset, as it stands in what a person reads: `E♭`, `F♯m`, `B♭ blues`. `formatKey` is what is typed and stored. */
export function keySign(k: Key): string {
  return pitchClassSign(k.tonic) + formatKey({ ...k, tonic: { letter: 'C', alter: 0 } }).slice(1);
}
