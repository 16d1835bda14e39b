import { foldText } from '../library/fold';
import { type Degree, formatDegree } from '../theory/degree';

/** Whether a title or tag says a numeral as a word of its own, in its own case. */
export function saysNumeral(numeral: string): (text: string) => boolean {
  const word = new RegExp(`(?<![\\p{L}\\p{N}])${escaped(numeral)}(?![\\p{L}\\p{N}])`, 'u');
  return (text) => word.test(text);
}

/** Whether a title or tag says a degree as a word of its own: `b7`, and 9 for 2. */
export function saysDegree(d: Degree): (text: string) => boolean {
  const name = foldText(formatDegree(d));
  const other =
    d.number === 1
      ? name.replace('r', '1')
      : d.number % 2 === 0
        ? name.replace(/\d/u, String(d.number + 7))
        : name;
  const word = new RegExp(
    `(?<![\\p{L}\\p{N}#])(?:${escaped(name)}|${escaped(other)})(?![\\p{L}\\p{N}])`,
    'u',
  );
  return (text) => word.test(foldText(text));
}

function escaped(text: string): string {
  return text.replaceAll(/[.*+?^${}()|[\]\\]/gu, '\\$&');
}
