import { foldText } from '../library/fold';
import { type Degree, formatDegree } from '../theory/degree';

/** Whether a title or tag says a numeral as a word of its own, in its own case. */
export function saysNumeral(numeral: string): (text: string) => boolean {
  const word = new RegExp(`(?<![\\p{L}\\p{N}])${escaped(numeral)}(?![\\p{L}\\p{N}])`, 'u');
  // Looking for the letters costs less than looking for the word.
  return (text) => text.includes(numeral) && word.test(text);
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
