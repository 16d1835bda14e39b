import { isUsual, type TupletRatio } from './tuplet-ratio';

const NAMES: Readonly<Partial<Record<number, string>>> = {
  2: 'duplet',
  3: 'triplet',
  4: 'quadruplet',
  5: 'quintuplet',
  6: 'sextuplet',
  7: 'septuplet',
  8: 'octuplet',
  9: 'nonuplet',
  10: 'decuplet',
};

/** What it is called: `triplet`, `tuplet 7:3`. */
export function tupletName(t: TupletRatio): string {
  const name = isUsual(t) ? NAMES[t.actual] : undefined;
  return name ?? `tuplet ${t.actual}:${t.normal}`;
}

/** The same with its article: `a triplet`, `an octuplet`. */
export function aTuplet(t: TupletRatio): string {
  const name = tupletName(t);
  return `${name.startsWith('o') ? 'an' : 'a'} ${name}`;
}

/** Several of them: `triplets`, `tuplets 7:3`. */
export function tupletsName(t: TupletRatio): string {
  return tupletName(t).replace(/^\w+/u, '$&s');
}
