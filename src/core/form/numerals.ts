import { beatTicks, meterTicks } from '../phrase/time';
import type { Meter } from '../phrase/types';
import { fail, type Problem, type Result } from '../result';
import type { Chord } from '../theory/chord';
import { isNoChord } from '../theory/chord';
import type { Key, Mode } from '../theory/key';
import { parseChordOrRoman } from '../theory/roman';
import type { Form, FormSection } from './types';

/** Bars that a form may have: more than any song, and few enough to be laid out at a keystroke. */
export const MOST_FORM_BARS = 256;

/**
 * What is wrong with the numerals of a section, each with its bar in the section and the column of the
 * character in the text. A chord by its name is refused: a form is laid out in any key.
 * @returns Nothing where `layForm` lays them out.
 */
export function numeralProblems(text: string, mode: Mode, meter: Meter): readonly Problem[] {
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
  // Without a stroke every numeral is a bar of its own, save in a single section (`layForm`).
  let at = begin;
  for (const [i, bar] of text.slice(begin, end).split('|').entries()) {
    const words = [...bar.matchAll(/\S+/gu)];
    if (words.length === 0) {
      const fix = 'Write one numeral at least, or N.C. for none.';
      problems.push({ message: 'the bar is empty', fix, bar: i + 1, column: at + 1 });
    }
    for (const [n, word] of words.entries()) {
      const column = at + word.index + 1;
      if (n === most) {
        const message = `a bar of ${meter.beats}/${meter.beatType} has ${most} beats, and each numeral needs one`;
        problems.push({ message, bar: i + 1, column });
      }
      const read = readNumeral(word[0], key);
      if (read.ok) continue;
      const [p] = read.problems;
      problems.push({ ...p!, bar: i + 1, column: column + (p!.column ?? 1) - 1 });
    }
    at += bar.length + 1;
  }
  return problems;
}

function readNumeral(text: string, key: Key): Result<Chord | null> {
  if (isNoChord(text)) return { ok: true, value: null };
  if (/^(?:bb|##|[b#n♭♯♮𝄫𝄪])?[IViv]/u.test(text)) return parseChordOrRoman(text, key);
  if (!/^[A-G]/u.test(text)) {
    const fix = 'Write one such as IV7 or ii7, or N.C. for none.';
    return fail({ message: `'${text}' is no numeral`, fix });
  }
  return fail({
    message: `'${text}' is a chord in one key`,
    fix: 'Write a numeral such as IV7, which goes with the key.',
  });
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
