import type { Phrase } from '../../src/core/phrase/types';
import { build } from './build';

/** A small valid phrase with this id and title. */
export function phraseNamed(id: string, title: string): Phrase {
  return build('e 3/5 3/7(h) q 2/5 2/8(vib) -', { id, title, chords: 'G7', key: 'G blues' });
}
