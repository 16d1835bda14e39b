import { fail, type Problem, type Result } from '../../../core/result';
import { PLAIN_DEFAULTS, type QuickDefaults, type QuickOrigin } from '../../quick/read-head';
import { firstStringsOnTop, instrumentOf } from './instrument';
import { blocksOf, plainLines, tabLine } from './lines';
import { type ReadTab, TabReader } from './tab-reader';

/** Texts longer than this are no phrase that somebody posted. */
const LONGEST = 400_000;

/** The row of note values that stands over the strings of our own text and of no other. */
const OWN_ROW = /^\s*(?:value|upper) +(?:\d\[)?\+?r?(?:rest|[whqest]|64|128)\b/u;

/**
 * Reads plain tablature as people have written it in letters and posts for decades: a line of dashes
 * a string, the first string on top, frets on them, `|` for bar lines. Pitches follow from tuning and
 * fret; lengths are guessed from the spacing, and every event says so (`guessed`).
 * @returns a phrase that can be stored; or line and column of what cannot be read.
 */
export function readTextTab(
  text: string,
  origin: QuickOrigin,
  defaults: QuickDefaults = PLAIN_DEFAULTS,
): Result<ReadTab> {
  if (text.length > LONGEST) {
    return fail({
      message: `the text has more than ${LONGEST} characters`,
      fix: 'Paste a part of it.',
    });
  }
  const lines = plainLines(text);
  const blocks = firstStringsOnTop(blocksOf(lines));
  const first = blocks[0];
  if (first === undefined) {
    const few = fewLines(lines);
    if (few !== null) return fail(few);
    return fail({
      message: 'there are no lines of tablature',
      fix: 'Paste at least four lines of dashes with frets on them, one a string.',
      line: 1,
      column: 1,
    });
  }
  const odd = blocks.find((b) => b.lines.length !== first.lines.length);
  if (odd !== undefined) {
    return fail({
      message: `these are ${odd.lines.length} lines, and the first block has ${first.lines.length}`,
      fix: 'Every block needs one line a string; part blocks by an empty line.',
      line: odd.lines[0]!.line,
      column: 1,
    });
  }
  const instrument = instrumentOf(first, lines, defaults.instrument);
  if (!instrument.ok) return instrument;
  const wideVibrato = lines.some((l) => /~~(?!~)\s*(?:=\s*)?wide/iu.test(l));
  const own = lines.some((l) => OWN_ROW.test(l));
  return new TabReader(blocks, instrument.value, origin, defaults, { wideVibrato, own }).read();
}

/** Whether a text has lines of tablature at all, too few of them included. */
export function looksLikeTab(text: string): boolean {
  if (text.length > LONGEST) return false;
  const lines = plainLines(text);
  return blocksOf(lines).length > 0 || fewLines(lines) !== null;
}

/** A text that is nothing but strings of a tablature, but fewer than an instrument has. */
function fewLines(lines: readonly string[]): Problem | null {
  const own = lines.flatMap((text, i) => (text.trim() === '' ? [] : [tabLine(text, i + 1)]));
  const first = own[0];
  if (first === undefined || first === null || own.length > 3 || own.includes(null)) return null;
  return {
    message:
      own.length === 1
        ? 'this is one line of tablature'
        : `these are ${own.length} lines of tablature`,
    fix: 'Write a line for every string of the instrument, the first string on top, with dashes where nothing is played.',
    line: first.line,
    column: 1,
  };
}
