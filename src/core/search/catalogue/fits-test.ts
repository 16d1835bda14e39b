import { mod } from '../../theory/pitch';
import { suitsWish, wishIn } from '../fits-chord';
import type { Catalogue } from './catalogue';

/** Whether a whole lane is like chords that are asked for, as `define` says; they are read once in each key. */
export function fitsTest(asked: readonly string[], c: Catalogue): (n: number) => boolean {
  const inKey = c.keyNames.map((key) => asked.map((text) => wishIn(text, key)));
  const { changes, firstChange, keyPlaces, chords } = c;
  return (n) => {
    const wishes = inKey[keyPlaces.values[n]!]!;
    const end = firstChange.values[n + 1]!;
    let [place, before, far] = [0, -1, -1];
    for (let at = firstChange.values[n]!; at < end; at++) {
      const chord = changes.values[at]!;
      if (chord === before) continue;
      before = chord;
      const wish = wishes[place++];
      if (wish === undefined || wish === null) return false;
      if ((wish.kind === 'no chord') !== (chord === 0)) return false;
      if (wish.kind === 'no chord') continue;
      const heard = chords.heardIn(chord);
      if (!suitsWish(heard, wish)) return false;
      const here = mod(heard.chroma - wish.chroma, 12);
      if (far >= 0 && here !== far) return false;
      far = here;
    }
    return place === wishes.length;
  };
}
