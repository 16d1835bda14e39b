import type { Phrase } from '../../src/core/phrase/types';
import { build } from './build';

/**
 * One chord as it is written beside a diagram: frets from string 6 to string 1, `x` for a string
 * that is not played.
 * @example voicing('x 3 2 0 1 0')
 */
export function voicing(frets: string): Phrase {
  const notes = frets
    .split(' ')
    .map((f, i) => (f === 'x' ? null : `${6 - i}/${f}`))
    .filter((n) => n !== null);
  return build(`w ${notes.join('+')}`);
}
