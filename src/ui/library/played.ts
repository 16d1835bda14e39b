import { ok, type Result } from '../../core/result';
import { linesOf } from '../../core/search/define/line';
import { writeQuery } from '../../core/search/query/write';
import { readQuick } from '../../io/quick/read';

/** What is played is no phrase of the library. */
const ORIGIN = { id: 'played', now: '1970-01-01T00:00:00Z' };

/**
 * The rises, in semitones, from note to note of what is played, of each moment the highest heard (M13).
 * @param text Quick text.
 * @returns the problems of the text where it cannot be read.
 */
export function risesPlayed(text: string): Result<readonly number[]> {
  const read = readQuick(text, ORIGIN);
  if (!read.ok) return read;
  const tops = (linesOf(read.value)[0] ?? []).flatMap((e) => e.top ?? []);
  return ok(tops.slice(1).map((top, i) => top - tops[i]!));
}

const INTERVALS = /(?<=^|[\s(])intervals:[+\-−\d]*/iu;

/**
 * A question with these rises in it, in place of those that it has: what was played is found in any key.
 * @param rises None takes them out.
 */
export function askedFor(rises: readonly number[], question: string): string {
  const has = INTERVALS.test(question);
  if (rises.length === 0) return has ? question.replace(INTERVALS, '').trim() : question;
  const asked = writeQuery({ query: { kind: 'intervals', semitones: rises }, order: null });
  if (has) return question.replace(INTERVALS, asked);
  const before = question.trim();
  if (before === '') return asked;
  // What stands beside it must hold too, all of it.
  return / or /iu.test(before) ? `(${before}) ${asked}` : `${before} ${asked}`;
}
