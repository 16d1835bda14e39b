import { foldText } from '../library/fold';
import { type Degree, formatDegree } from '../theory/degree';

/** Whether a title or tag says a numeral as a word of its own, in its own case. */
export function saysNumeral(numeral: string): (text: string) => boolean {
  // A letter with a mark over it is another letter.
  const word = new RegExp(
    `(?<![\\p{L}\\p{N}\\p{M}])${escaped(numeral)}(?![\\p{L}\\p{N}\\p{M}])`,
    'u',
  );
  // Looking for the letters costs less than looking for the word.
  return (text) => text.includes(numeral) && word.test(text);
}

/**
 * Whether a word of a folded text may be or hold a numeral that a title says: also beside a `b`, since
 * that may have been a flat, which is no letter.
 */
export function maySayNumeral(numeral: string): (word: string) => boolean {
  const name = foldText(numeral);
  const alone = new RegExp(`(?:^|b|[^\\p{L}\\p{N}])${escaped(name)}(?:$|b|[^\\p{L}\\p{N}])`, 'u');
  return (word) => word.includes(name) && alone.test(word);
}

/** Whether a title or tag says a degree as a word of its own: `b7`, and 9 for 2. */
export function saysDegree(d: Degree): (text: string) => boolean {
  const says = saysFolded(sayingsOf(d));
  return (text) => says(foldText(text));
}

/** Whether a folded text says one of some folded words as a word of its own. */
export function saysFolded(words: readonly string[]): (text: string) => boolean {
  const any = words.map(escaped).join('|');
  const word = new RegExp(`(?<![\\p{L}\\p{N}#])(?:${any})(?![\\p{L}\\p{N}])`, 'u');
  return (text) => words.some((w) => text.includes(w)) && word.test(text);
}

/** The folded names of a degree: `b2` and `b9`, `r` and `1`. */
export function sayingsOf(d: Degree): readonly string[] {
  const name = foldText(formatDegree(d));
  if (d.number === 1) return [name, name.replace('r', '1')];
  return d.number % 2 === 0 ? [name, name.replace(/\d/u, String(d.number + 7))] : [name];
}

function escaped(text: string): string {
  return text.replaceAll(/[.*+?^${}()|[\]\\]/gu, '\\$&');
}
