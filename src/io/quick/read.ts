import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { checkStorable } from '../json/storable';
import { PLAIN_DEFAULTS, type QuickDefaults, type QuickOrigin } from './read-head';
import { Reader } from './reader';

/** Texts longer than this are no phrase typed by anybody. */
export const LONGEST_QUICK_TEXT = 200_000;

/**
 * Reads quick text (grammar in `signs.ts`).
 * @param defaults What a text without a head is in: key, metre, tempo, feel, instrument.
 * @returns a phrase that can be stored, or every mistake found with its line and column.
 */
export function readQuick(
  text: string,
  origin: QuickOrigin,
  defaults: QuickDefaults = PLAIN_DEFAULTS,
): Result<Phrase> {
  if (text.length > LONGEST_QUICK_TEXT) {
    return fail({
      message: `the text has ${text.length} characters, and at most ${LONGEST_QUICK_TEXT} are read`,
      fix: 'Write it as several phrases.',
    });
  }
  // Names and degrees need the chords, and the first chord also stands before its own place (D2).
  const first = new Reader(text, origin, defaults, []);
  const chords = first.run().chords;
  const reader = new Reader(text, origin, defaults, chords);
  const phrase = reader.run();
  const { problems } = reader.scan;
  if (problems.length > 0) return fail(...problems);
  const wrong = checkStorable(phrase);
  return wrong.length === 0
    ? ok(phrase)
    : fail(...eachOnce(wrong.map((p) => reader.placed(phrase, p))));
}

/** What two fields of the phrase have from one word of the text is said once. */
function eachOnce(list: readonly Problem[]): readonly Problem[] {
  return list.filter((p, i) => list.findIndex((q) => isSame(p, q)) === i);
}

function isSame(p: Problem, q: Problem): boolean {
  return p.line === q.line && p.column === q.column && p.message === q.message && p.fix === q.fix;
}
