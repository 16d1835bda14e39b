import { formatProblem, type Problem } from '../core/result';

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

/** A line for each problem, headed by the name of the file. */
export function problemLines(path: string, problems: readonly Problem[]): string {
  const lines = problems.slice(0, MOST_PROBLEMS).map((p) => `${path}: ${formatProblem(p)}\n`);
  const more = problems.length - MOST_PROBLEMS;
  if (more > 0) lines.push(`${path}: ${more} more problems are not listed.\n`);
  return lines.join('');
}

export function count(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? '' : 's'}`;
}
