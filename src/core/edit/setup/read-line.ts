import { TUNINGS, type TuningName } from '../../phrase/instruments';
import type { Tempo } from '../../phrase/types';
import { fail, ok, type Result } from '../../result';
import { type Key, type Mode, parseKey } from '../../theory/key';
import { parseChordOrRoman } from '../../theory/roman';
import { FASTEST, SLOWEST } from '../tempo-for';
import { FEEL_WORDS, type FeelName, isMeter, METERS, type MeterName } from './choices';
import { FORM_NAMES, FORMS, type FormName, formCalled } from './forms';

/** What a line says a phrase is to be; what it does not name is absent. */
export interface Setup {
  readonly key?: Key;
  /** The key named its mode: `A blues`, `Am`; a bare `A` takes the mode of the form. */
  readonly mode?: true;
  readonly meter?: MeterName;
  readonly feel?: FeelName;
  readonly tempo?: { readonly bpm: number; readonly unit?: Tempo['unit'] };
  /** Chords by the name of a form, or as they are typed. */
  readonly form?:
    | { readonly kind: 'named'; readonly name: FormName }
    | { readonly kind: 'typed'; readonly lane: string };
  /** How many bars; never beside the name of a form, which says it itself. */
  readonly bars?: number;
  readonly tuning?: TuningName;
  /** Fret of the capo; 0 takes it off. */
  readonly capo?: number;
  readonly title?: string;
}

/** Most bars that are laid out at once. */
const MOST_BARS = 64;

/** Whether a numeral is one does not hang on the key. */
const ANY_KEY: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };

/** One kind of thing that a line may name: what it looks like, and what is taken from it. */
interface Reader {
  readonly part: keyof Setup;
  readonly looks: RegExp;
  /** What it says, or why it cannot be; null where it only looks like it and is a word of the title. */
  readonly read: (m: RegExpExecArray) => Partial<Setup> | string | null;
}

/** What a word ends with. */
const END = '(?=[\\s,;]|$)';
/**
 * A chord that nobody takes for a key or for the word of a title: a symbol or a numeral with a number in
 * it. Others stand between braces, or behind a stroke.
 */
const CHORD =
  '(?:[A-G](?:bb|##|[b#♭♯])?|[b#♭♯]?(?:VII?|I?V|I{1,3}|vii?|i?v|i{1,3}))(?:maj|min|mi|ma|dim|aug|sus|add|[mM°øo+Δ-])*\\d[^\\s|,;{}"“]*';
/** Highest fret of a capo, as in its own dialog. */
const MOST_CAPO = 12;

const TUNING_NAMES = Object.keys(TUNINGS) as readonly TuningName[];
/** How a tuning is typed, as its title is; a bare `standard` is the word of a title too. */
const TUNINGS_TYPED = TUNING_NAMES.map((n) =>
  n === 'standard'
    ? 'standard(?= tuning)'
    : TUNINGS[n].title.replaceAll('D A D G', 'D ?A ?D ?G').replace('G A D', 'G ?A ?D'),
).join('|');

/** The tuning of a title, however it is spaced and wherever it has capitals. */
function tuningCalled(text: string): TuningName | null {
  const plain = (t: string) => t.replace(/\s/gu, '').toLowerCase();
  return TUNING_NAMES.find((n) => plain(TUNINGS[n].title) === plain(text)) ?? null;
}

const UNITS: Readonly<Record<string, Tempo['unit']>> = {
  e: 'eighth',
  q: 'quarter',
  'q.': 'dotted-quarter',
  h: 'half',
};

/** A mode with a capital is the word of a title as well, `A Blues for Two`: only before what is no word. */
const CAPITAL_MODE = `(?:Minor|Major|Blues)(?=\\s*(?:[,;{"“\\d]|$|(?:${Object.keys(FEEL_WORDS).join('|')}|${CHORD})${END}))`;

const READERS: readonly Reader[] = [
  {
    part: 'title',
    looks: /["“]([^"“”]*)["”]/uy,
    read: ([, title]) => ({ title: title!.trim() }),
  },
  {
    // With a capital it begins a title as well, `Open A Gate`: only before what is no word.
    part: 'tuning',
    looks: new RegExp(
      `(?:in |tuned to |tuning )?(?:(${TUNINGS_TYPED})|(?:Open|Drop) [A-G](?=\\s*(?:[,;{"“\\d]|$)))(?: tuning)?${END}`,
      'uy',
    ),
    read: ([all]) => {
      const tuning = tuningCalled(all.replace(/^(?:in |tuned to |tuning )| tuning$/gu, ''));
      return tuning === null ? null : { tuning };
    },
  },
  {
    part: 'capo',
    looks: new RegExp(`capo(?: at)?(?: fret)? (\\d{1,2})${END}`, 'uiy'),
    read: ([, fret]) =>
      Number(fret) <= MOST_CAPO
        ? { capo: Number(fret) }
        : `a capo stands at fret 1 to ${MOST_CAPO}`,
  },
  {
    part: 'form',
    looks: /\{([^}]*)\}/uy,
    read: ([, lane]) => ({ form: { kind: 'typed', lane: lane!.trim() } }),
  },
  {
    part: 'meter',
    looks: new RegExp(`(\\d{1,3}/\\d{1,3})${END}`, 'uy'),
    read: ([, text]) =>
      isMeter(text!) ? { meter: text } : `${text} is none of the metres ${METERS.join(', ')}`,
  },
  {
    part: 'bars',
    looks: new RegExp(`(\\d{1,3}) bars?(?! blues)(?:\\s+of(?=\\s+${CHORD}))?${END}`, 'uiy'),
    read: ([, count]) => {
      const bars = Number(count);
      return bars >= 1 && bars <= MOST_BARS
        ? { bars }
        : `a phrase is begun with 1 to ${MOST_BARS} bars`;
    },
  },
  {
    part: 'form',
    looks: new RegExp(`(${CHORD}(?:\\s*\\|\\s*[^\\s|,;]+|\\s+${CHORD})*)\\s*\\|?${END}`, 'uy'),
    read: ([, lane]) =>
      lane!.split(/[\s|]+/u).every((c) => parseChordOrRoman(c, ANY_KEY).ok)
        ? { form: { kind: 'typed', lane: lane! } }
        : null,
  },
  {
    part: 'form',
    looks: new RegExp(`(\\d{1,2})(?:([a-z])|[- ]?bar blues|-bar)${END}`, 'uiy'),
    read: ([all, count, letter]) => {
      const name = formCalled(`${count}${letter ?? 'b'}`);
      if (name !== null) return { form: { kind: 'named', name } };
      const known = FORM_NAMES.map((n) => `${FORMS[n].short} (${FORMS[n].title})`).join(', ');
      const bars = letter?.toLowerCase() === 'b' ? `; ‘${count} bars’ lays out that many` : '';
      return `${all} is none of the forms ${known}${bars}`;
    },
  },
  {
    part: 'tempo',
    looks: new RegExp(`(?:(e|q\\.|q|h)\\s*=\\s*)?(\\d{1,4})(?:\\s*bpm)?${END}`, 'uiy'),
    read: ([, unit, text]) => {
      const bpm = Number(text);
      if (bpm < SLOWEST || bpm > FASTEST) return `a tempo is from ${SLOWEST} to ${FASTEST}`;
      const named = unit === undefined ? undefined : UNITS[unit.toLowerCase()];
      return { tempo: named === undefined ? { bpm } : { bpm, unit: named } };
    },
  },
  {
    part: 'feel',
    looks: new RegExp(`(${Object.keys(FEEL_WORDS).join('|')})${END}`, 'uiy'),
    read: ([, word]) => ({ feel: FEEL_WORDS[word!.toLowerCase()]! }),
  },
  {
    // A small letter alone is an article as well: `a walk home`.
    part: 'key',
    looks: new RegExp(
      `(?:(?:in )?(?:the )?key (?:of )?|in )?([A-G](?:bb|##|b|#|♭|♯)?|[a-g](?:b|#|♭|♯)?(?=m${END}|\\s*(?:minor|min|major|maj|blues)${END}))(m|\\s*(?:minor|min|major|maj|blues)|\\s+${CAPITAL_MODE})?${END}`,
      'uy',
    ),
    read: ([, tonic, mode]) => {
      const named = `${tonic}${mode ?? ''}`;
      const key = parseKey(named);
      if (key === null) return `${named} is no key: write C, F#m or Bb blues`;
      return mode === undefined ? { key } : { key, mode: true };
    },
  },
];

/**
 * Reads one line that sets a phrase up: key, metre, feel, tempo, form, tuning and capo in any order and each once,
 * then the title: `A 12b 12/8 92 Mill Race`, `Bb blues, shuffle, 12-bar blues, 96, "Eight to Go"`,
 * `Gm {i7 | iv7 | V7 | i7}`, `A blues 2 bars A7`, `G blues, open G, capo 2`. What follows the first word that is none of these is the title; a title
 * that begins like one of them stands in quotation marks.
 */
export function readSetup(line: string): Result<Setup> {
  let setup: Setup = {};
  let at = 0;
  for (;;) {
    at += /^[\s,;]*/u.exec(line.slice(at))![0].length;
    if (at >= line.length) break;
    const next = nextPart(line, at, setup);
    if (next === null) {
      if (setup.title !== undefined) {
        return fail({
          message: `‘${line.slice(at).trim()}’ comes after the title`,
          fix: 'Put the title last, or all of it in quotation marks.',
        });
      }
      setup = { ...setup, title: line.slice(at).trim() };
      break;
    }
    if (typeof next.part === 'string') {
      return fail({
        message: next.part,
        fix: 'A title that begins with a number stands in quotation marks.',
      });
    }
    setup = { ...setup, ...next.part };
    at = next.end;
  }
  if (Object.keys(setup).length === 0) {
    return fail({ message: 'nothing is said yet', fix: 'For example: A 12b 12/8 92' });
  }
  return ok(setup);
}

function nextPart(line: string, at: number, known: Setup) {
  for (const { part, looks, read } of READERS) {
    // Said twice, it is no setting but a word of the title.
    if (known[part] !== undefined || (part === 'bars' && known.form?.kind === 'named')) continue;
    looks.lastIndex = at;
    const m = looks.exec(line);
    if (m === null) continue;
    const end = looks.lastIndex;
    const found = read(m);
    if (found !== null) return { part: found, end };
  }
  return null;
}

/** The mode a key gets: what was said, else that of the form, else major. */
export function modeOf(setup: Setup, now: Mode): Mode {
  if (setup.mode === true && setup.key !== undefined) return setup.key.mode;
  if (setup.form?.kind === 'named') {
    const { mode } = FORMS[setup.form.name];
    // A blues that stands in minor already stays there.
    return setup.key === undefined && now === 'minor' ? 'minor' : mode;
  }
  return setup.key?.mode ?? now;
}
