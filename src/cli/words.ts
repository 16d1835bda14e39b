import { closest, distance } from 'fastest-levenshtein';
import { formatProblem, type Problem } from '../core/result';
import { columnsOf } from '../io/text/char-width';

/** Control characters, which a terminal obeys, and signs that turn the direction of text. */
const UNPRINTABLE = /[\p{Cc}\p{Bidi_Control}]/gu;

/**
 * Text from outside made safe for a terminal: what would move the cursor, colour, or hide text is
 * shown as `\u001b`. Inside a JSON string that is the same character.
 */
export function printable(text: string): string {
  return text.replace(UNPRINTABLE, (c) =>
    c === '\n' || c === '\t' ? c : `\\u${c.codePointAt(0)!.toString(16).padStart(4, '0')}`,
  );
}

/** So many problems of one file are told one by one. */
const MOST_PROBLEMS = 20;

/**
 * A line for each problem, headed by the name of the file; under it, where the text that was read is
 * given, the line of that text with a sign under the character.
 */
export function problemLines(
  path: string,
  problems: readonly Problem[],
  text: string | null = null,
): string {
  // A text that is refused for its size has no place to be shown.
  const placed = problems.some((p) => p.column !== undefined);
  const read = text !== null && placed ? text.split('\n') : null;
  const lines = problems
    .slice(0, MOST_PROBLEMS)
    .map((p) => `${path}: ${formatProblem(p)}\n${read === null ? '' : pointed(read, p)}`);
  const more = problems.length - MOST_PROBLEMS;
  if (more > 0) lines.push(`${path}: ${more} more problems are not listed.\n`);
  return lines.join('');
}

/** So many characters of a long line are shown before the place that is meant, and from there on. */
const BEFORE = 48;
const FROM = 24;

/** The line of a problem and a sign under its character; empty where it has no place. */
function pointed(read: readonly string[], { line, column }: Problem): string {
  const whole = line === undefined ? undefined : read[line - 1];
  if (whole === undefined || column === undefined) return '';
  const [left, right] = aroundPlace(whole.trimEnd(), column);
  return `  ${left}${right}\n  ${' '.repeat(columnsOf(left))}^\n`;
}

/** What stands before a character of a line, from 1, and what from there on; of a long line the nearest. */
export function aroundPlace(line: string, column: number): readonly [left: string, right: string] {
  const before = Array.from(line.slice(0, column - 1));
  const from = Array.from(line.slice(column - 1));
  return [
    shown([before.length > BEFORE ? '...' : '', ...before.slice(-BEFORE)]),
    shown([...from.slice(0, FROM), from.length > FROM ? '...' : '']),
  ];
}

/** Characters as they are printed, a tab as one space. */
function shown(characters: readonly string[]): string {
  return printable(characters.join('').replace(/\t/gu, ' '));
}

export function count(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? '' : 's'}`;
}

/** The calendar day of a moment on this machine: 2026-11-27. */
export function localDay(now: Date): string {
  const two = (n: number) => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** The name that a slip of the fingers was meant for; empty for a word that is near to none. */
export function perhaps(typed: string, names: readonly string[]): string {
  const word = typed.toLowerCase();
  const near = closest(word, names);
  return distance(word, near) <= Math.min(2, near.length / 2) ? `Perhaps '${near}' is meant. ` : '';
}
