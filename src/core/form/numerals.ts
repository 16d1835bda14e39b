import { beatTicks, meterTicks } from '../phrase/time';
import type { Meter } from '../phrase/types';
import { fail, type Problem, type Result } from '../result';
import { shortened } from '../shortened';
import type { Chord } from '../theory/chord';
import { isNoChord } from '../theory/chord';
import { LONGEST_SYMBOL } from '../theory/chord-text';
import type { Key, Mode } from '../theory/key';
import { parseChordOrRoman } from '../theory/roman';
import { fixOf, NUMERAL_FIX } from './numeral-fixes';
import type { Form, FormSection } from './types';

/** Bars that a form may have: more than any song, and few enough to be laid out at a keystroke. */
export const MOST_FORM_BARS = 256;

type Names = 'refused' | 'taken';

/** Characters that a section may have, as stored. */
export const LONGEST_SECTION = 4_000;

/** The bar as the one before, as charts have it (common practice); the second is how it is set. */
const AS_BEFORE = /^(?:%|\u{1d10e})$/u;

/**
 * A section with every bar that is as the one before it written out, so that what is stored is numerals alone.
 * A sign with no bar before it stays, and is no numeral.
 */
export function writtenOut(text: string): string {
  if (!/[%\u{1d10e}]/u.test(text)) return text;
  let before: string | null = null;
  const begin = /^\s*\|?/u.exec(text)![0];
  const bars = text
    .slice(begin.length)
    .split('|')
    .map((bar) => {
      const told = bar.trim();
      if (AS_BEFORE.test(told) && before !== null) return bar.replace(told, before);
      before = told === '' ? null : told;
      return bar;
    });
  return begin + bars.join('|');
}

/**
 * What is wrong with the numerals of a section, each with its bar in the section and the column of the
 * character in the text. A chord by its name is refused where it is written: a form is laid out in any key.
 * @param names What becomes of those chords: files may hold them.
 * @returns Nothing where `layForm` lays them out.
 */
export function numeralProblems(
  text: string,
  mode: Mode,
  meter: Meter,
  names: Names = 'refused',
): readonly Problem[] {
  const key: Key = { tonic: { letter: 'C', alter: 0 }, mode };
  const most = Math.max(1, Math.round(meterTicks(meter) / beatTicks(meter)));
  const problems: Problem[] = [];
  const begin = /^\s*\|?/u.exec(text)![0].length;
  const end = text.replace(/\|?\s*$/u, '').length;
  if (text.slice(begin, Math.max(begin, end)).trim() === '') {
    return [
      { message: 'there is no bar', fix: 'Write numerals, for example I7 | IV7.', column: 1 },
    ];
  }
  if (writtenOut(text).length > LONGEST_SECTION) {
    const message = `with every bar written out the section is longer than ${LONGEST_SECTION} characters`;
    return [{ message, fix: 'Divide it into several sections.', column: 1 }];
  }
  // Without a stroke every numeral is a bar of its own, save in a single section (`layForm`).
  let at = begin;
  let first = true;
  for (const [i, bar] of text.slice(begin, end).split('|').entries()) {
    const words = [...bar.matchAll(/\S+/gu)];
    if (words.length === 0) {
      const fix =
        'Write a numeral, % for the bar before, or N.C. for none; bars are divided by one |.';
      problems.push({ message: 'the bar is empty', fix, bar: i + 1, column: at + 1 });
    }
    const asBefore = words.length === 1 && AS_BEFORE.test(words[0]![0]);
    if (asBefore && first) {
      const column = at + words[0]!.index + 1;
      const message = `'${words[0]![0]}' is the bar before, and this is the first one`;
      problems.push({ message, fix: 'Begin with a numeral.', bar: i + 1, column });
    }
    first = false;
    if (!asBefore)
      for (const [n, word] of words.entries()) {
        const column = at + word.index + 1;
        if (n === most) {
          const message = `a bar of ${meter.beats}/${meter.beatType} has ${most} beats, and each numeral needs one`;
          problems.push({ message, bar: i + 1, column });
        }
        const read = readNumeral(word[0], key, names, words[n - 1]?.[0] ?? null);
        if (read.ok) continue;
        const [p] = read.problems;
        problems.push({ ...p!, bar: i + 1, column: column + (p!.column ?? 1) - 1 });
      }
    at += bar.length + 1;
  }
  return problems;
}

/** @param before The numeral before it in the bar. */
function readNumeral(
  text: string,
  key: Key,
  names: Names,
  before: string | null,
): Result<Chord | null> {
  if (isNoChord(text)) return { ok: true, value: null };
  // Chord symbols may end with a comma; here it would be taken to divide bars.
  const comma = /[,;]$/u.exec(text);
  if (comma !== null) {
    const message = `'${comma[0]}' divides nothing`;
    return fail({ message, fix: NUMERAL_FIX.divide, column: comma.index + 1 });
  }
  if (/^(?:bb|##|[b#n♭♯♮𝄫𝄪])?[IViv]/u.test(text)) {
    const read = parseChordOrRoman(text, key);
    if (read.ok) return read;
    const [p] = read.problems;
    const at = (p!.column ?? 1) - 1;
    const fix = at < LONGEST_SYMBOL ? fixOf(text, at) : null;
    return fail(fix === null ? p! : { ...p!, fix });
  }
  if (/^[A-G]/u.test(text)) {
    if (names === 'taken') return parseChordOrRoman(text, key);
    return fail({
      message: `'${shortened(text)}' is a chord in one key`,
      fix: 'Write a numeral such as IV7, which goes with the key.',
    });
  }
  const joined = before !== null && parseChordOrRoman(before + text, key).ok;
  const fix = joined ? `Write ${before}${text} without a space.` : fixOf(text, 0);
  return fail({ message: `'${shortened(text)}' is no numeral`, fix: fix ?? NUMERAL_FIX.any });
}

/** Bars of a section. */
export function barsOfSection({ bars }: FormSection): readonly string[] {
  return bars
    .trim()
    .replace(/^\||\|$/gu, '')
    .split('|')
    .map((b) => b.trim());
}

/** Bars of a form, played once. */
export function barCount(form: Pick<Form, 'sections'>): number {
  return form.sections.reduce((n, s) => n + barsOfSection(s).length, 0);
}
