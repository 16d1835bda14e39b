import type { ChordShape } from '../../../core/shapes/types';
import { degreeSign } from '../../../core/theory/degree';
import { capital } from '../../shared/words';

/** `strings 3 and 2, frets 4 and 3: 3 and 5`, from the lowest string on. */
export function placesText(s: ChordShape): string {
  const low = [...s.tones].reverse();
  const list = (words: readonly (string | number)[]) =>
    `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
  const strings = list(low.map((t) => t.string));
  const frets = list(low.map((t) => (t.fret === 0 ? 'open' : t.fret)));
  return `strings ${strings}, frets ${frets}: ${list(low.map((t) => degreeSign(t.degree)))}`;
}

/** The same as a sentence with its name. */
export function shapeWords(s: ChordShape): string {
  return `${capital(placesText(s))}, ${s.name}.`;
}

/** The strings of a shape as an address has them: `3,2,1`, from the lowest on. */
export function stringsOf(s: Pick<ChordShape, 'tones'>): string {
  return [...s.tones]
    .reverse()
    .map((t) => t.string)
    .join();
}
