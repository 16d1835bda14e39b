import { foldText } from '../../library/fold';
import { LEVEL_WORDS } from '../../library/level-and-feel';
import { LIBRARY_ORDERS } from '../../library/sort';
import { playedIn } from '../../phrase/tuplet';
import { readRatioText } from '../../phrase/tuplet-ratios';
import { TICKS_PER_QUARTER } from '../../phrase/types';
import { fail, ok, type Problem, type Result } from '../../result';
import { formatChord, parseChord } from '../../theory/chord';
import { parseDegree } from '../../theory/degree';
import type { Key, Mode } from '../../theory/key';
import { parsePitchClass } from '../../theory/pitch';
import { parseRoman } from '../../theory/roman';
import { NO_CHORD } from '../chord-test';
import { joinRow, readRowWord } from './row';
import { problemAt } from './scan';
import { TECHNIQUE_NAMES } from './technique-names';
import type { Atom, NumberName, QueryOrder, RhythmValue, Turn } from './types';
import { FEEL_NAMES, type FieldName, NUMBER_LIMITS, ROLE_NAMES } from './words';

/**
 * Reads the value behind a name and its colon.
 * @param at Where the value begins in the whole text.
 */
export function readField(
  name: Exclude<FieldName, 'order'>,
  value: string,
  at: number,
): Atom | Problem {
  switch (name) {
    case 'with':
      return oneOf(TECHNIQUE_NAMES, value, at, 'technique', (technique) => ({
        kind: 'with',
        technique,
      }));
    case 'role': {
      const names = ROLE_NAMES.map((r) => r.name);
      return oneOf(names, value.replace(' ', '-'), at, 'role', (n) => ({
        kind: 'role',
        role: ROLE_NAMES.find((r) => r.name === n)!.role,
      }));
    }
    case 'feel':
      return oneOf(FEEL_NAMES, value, at, 'feel', (feel) => ({ kind: 'feel', feel }));
    case 'tonic':
      return readRowValue(value, at);
    case 'first':
    case 'last': {
      const degree = parseDegree(value);
      if (degree !== null) return { kind: name, degree };
      return problemAt(at, `'${value}' is no degree`, 'Write R, 2 to 7, or one like b3 or #4.');
    }
    case 'rhythm':
      return readRhythm(value, at);
    case 'contour':
      return readContour(value, at);
    case 'intervals':
      return readIntervals(value, at);
    case 'chord': {
      const chord = readChordText(value, at);
      return typeof chord === 'string' ? { kind: 'chord', chord } : chord;
    }
    case 'fits':
      return readFits(value, at);
    case 'key':
      return readKeyValue(value, at);
    case 'meter':
      return readMeter(value, at);
    case 'title':
    case 'tag':
    case 'style':
    case 'source':
    case 'remarks':
      return { kind: 'in', field: name, text: foldText(value) };
    case 'in':
      return { kind: 'member', text: foldText(value) };
    case 'used':
      if (foldText(value) === 'never') return { kind: 'used', day: null };
      return isDay(value) ? { kind: 'used', day: value } : noDay(value, at, ' or never');
    case 'since':
    case 'before':
      return isDay(value) ? { kind: 'when', side: name, day: value } : noDay(value, at);
    default:
      return readNumber(name, value, at);
  }
}

function oneOf<T extends string>(
  names: readonly T[],
  value: string,
  at: number,
  what: string,
  make: (name: T) => Atom,
): Atom | Problem {
  const found = names.find((n) => n === value.toLowerCase());
  if (found !== undefined) return make(found);
  return problemAt(at, `'${value}' is no ${what}`, `Use one of ${names.join(', ')}.`);
}

function readRowValue(value: string, at: number): Atom | Problem {
  const parts = readRowWord(value, at);
  if (parts === null) {
    return problemAt(at, `'${value}' is no row of degrees`, 'Join degrees by -, as in 5-6-b7.');
  }
  if ('message' in parts) return parts;
  const steps = joinRow(parts.map((part) => ({ part, at })));
  return 'message' in steps ? steps : { kind: 'row', from: 'tonic', steps, over: null };
}

const LETTERS: Readonly<Record<string, number>> = {
  w: 4,
  h: 2,
  q: 1,
  e: 1 / 2,
  s: 1 / 4,
  t: 1 / 8,
};
const VALUE = /(r?)([whqest])(\.?)(\d{0,2}(?:(?<=\d):\d{1,2})?)/uy;

function readRhythm(value: string, at: number): Atom | Problem {
  const values: RhythmValue[] = [];
  let i = 0;
  while (i < value.length) {
    VALUE.lastIndex = i;
    const m = VALUE.exec(value);
    if (m === null) {
      return problemAt(
        at + i,
        `'${value[i]}' is no note value`,
        'Use w h q e s t, with . for dotted, 3 for a triplet, 7:3 for another tuplet and r before a rest, joined by -.',
      );
    }
    const [whole, rest, letter, dot, text] = m;
    const tuplet = text === '' ? null : readRatioText(text!);
    const plain = TICKS_PER_QUARTER * LETTERS[letter!]! * (dot === '.' ? 1.5 : 1);
    const ticks = text === '' || tuplet !== null ? playedIn(tuplet, plain) : null;
    if (ticks === null) {
      return problemAt(
        at + i,
        `'${whole}' is no value of a tuplet`,
        'Write 3 for a triplet, 5, 6 or 7 in the time of four, or the ratio: e7:3.',
      );
    }
    values.push({ rest: rest === 'r', ticks });
    i += whole.length;
    if (value[i] === '-' && i + 1 < value.length) i++;
  }
  if (values.length === 0) return problemAt(at, 'a note value is missing', 'Write one, as q or e.');
  if (values[0]!.rest || values.at(-1)!.rest) {
    return problemAt(at, 'a rhythm begins and ends with a note', 'Leave the outer rest away.');
  }
  return { kind: 'rhythm', values };
}

const TURNS: Readonly<Record<string, Turn>> = {
  '>': 'up',
  '↑': 'up',
  '<': 'down',
  '↓': 'down',
  '=': 'same',
};

function readContour(value: string, at: number): Atom | Problem {
  const turns: Turn[] = [];
  for (const [i, sign] of [...value].entries()) {
    const turn = TURNS[sign];
    if (turn === undefined) {
      return problemAt(at + i, `'${sign}' says no direction`, 'Use > higher, < lower, = the same.');
    }
    turns.push(turn);
  }
  if (turns.length > 0) return { kind: 'contour', turns };
  return problemAt(at, 'a direction is missing', 'Use > higher, < lower, = the same.');
}

function readIntervals(value: string, at: number): Atom | Problem {
  const semitones: number[] = [];
  let i = 0;
  while (i < value.length) {
    const m = /^[+\-−](\d{1,2})(?!\d)/u.exec(value.slice(i));
    if (m === null) {
      return problemAt(
        at + i,
        `'${value.slice(i)}' does not begin with an interval`,
        'Write semitones with their signs, as +2-3+0.',
      );
    }
    // Never −0, which is not equal to 0 everywhere.
    semitones.push(m[0].startsWith('+') ? Number(m[1]) : 0 - Number(m[1]));
    i += m[0].length;
  }
  if (semitones.length > 0) return { kind: 'intervals', semitones };
  return problemAt(at, 'an interval is missing', 'Write semitones with their signs, as +2-3+0.');
}

const C_MAJOR: Key = { tonic: { letter: 'C', alter: 0 }, mode: 'major' };

/** A chord symbol in its canonical spelling, a numeral as it is typed, or `NO_CHORD`. */
export function readChordText(value: string, at: number): string | Problem {
  if (value.toUpperCase() === NO_CHORD) return NO_CHORD;
  const symbol: Result<string> = /^[A-G]/u.test(value)
    ? canonical(value)
    : readNumeral(value.replaceAll('♭', 'b').replaceAll('♯', '#'));
  if (symbol.ok) return symbol.value;
  const column = symbol.problems[0]?.column ?? 1;
  return problemAt(
    at + column - 1,
    `'${value}' is neither a chord symbol nor a numeral`,
    'Write a chord like Bb7 or F#m7b5, or a numeral like IV7 or ii7.',
  );
}

function readFits(value: string, at: number): Atom | Problem {
  const chords: string[] = [];
  let place = at;
  for (const part of value.split(/[>→]/u)) {
    const chord = readChordText(part, place);
    if (typeof chord !== 'string') return chord;
    chords.push(chord);
    place += part.length + 1;
  }
  return { kind: 'fits', chords };
}

function canonical(value: string): Result<string> {
  const read = parseChord(value);
  return read.ok ? ok(formatChord(read.value)) : read;
}

function readNumeral(value: string): Result<string> {
  const read = parseRoman(value, C_MAJOR);
  return read.ok ? ok(value) : fail(...read.problems);
}

const MODES: Readonly<Record<string, Mode>> = {
  m: 'minor',
  min: 'minor',
  minor: 'minor',
  maj: 'major',
  major: 'major',
  blues: 'blues',
};

function readKeyValue(value: string, at: number): Atom | Problem {
  const alone = MODES[value.toLowerCase()];
  if (alone !== undefined && value !== 'm') return { kind: 'key', tonic: null, mode: alone };
  const m = /^([A-Ga-g](?:bb|##|b|#|♭|♯|𝄫|𝄪)?)[\s-]*(\p{L}*)$/u.exec(value);
  const tonic = m === null ? null : parsePitchClass(m[1]!);
  const mode = m === null || m[2] === '' ? null : MODES[m[2]!.toLowerCase()];
  if (tonic !== null && mode !== undefined) return { kind: 'key', tonic, mode };
  return problemAt(
    at,
    `'${value}' is no key`,
    'Write one like G, F#m, Bb-blues, or a mode: minor.',
  );
}

function readMeter(value: string, at: number): Atom | Problem {
  const m = /^(\d{1,2})\/(1|2|4|8|16)$/u.exec(value);
  if (m !== null) return { kind: 'meter', beats: Number(m[1]), beatType: Number(m[2]) };
  return problemAt(at, `'${value}' is no metre`, 'Write one like 4/4 or 12/8.');
}

function isDay(value: string): boolean {
  return /^\d{4}(-(0[1-9]|1[0-2])(-(0[1-9]|[12]\d|3[01]))?)?$/u.test(value);
}

function noDay(value: string, at: number, or = ''): Problem {
  return problemAt(at, `'${value}' is no day`, `Write a year, month or day: 2026-11-27${or}.`);
}

/** Beats in a minute need not be whole. */
const TEMPOS = /^(\d{1,5}(?:\.\d{1,3})?)?(\.\.|-|–)?(\d{1,5}(?:\.\d{1,3})?)?$/u;

function readNumber(of: NumberName, value: string, at: number): Atom | Problem {
  const [least, most] = NUMBER_LIMITS[of];
  const numbers = of === 'tempo' ? TEMPOS : /^(\d{1,5})?(\.\.|-|–)?(\d{1,5})?$/u;
  const m = numbers.exec(of === 'level' ? withNumbers(value) : value);
  if (m === null || (m[1] === undefined && m[3] === undefined)) {
    const words = of === 'level' ? ` or ${LEVEL_WORDS.join(', ')}` : '';
    return problemAt(
      at,
      `'${value}' is no ${of === 'level' ? 'level' : 'number'}`,
      `Write one, or a range like ${range(of)}${words}.`,
    );
  }
  const from = m[1] === undefined ? least : Number(m[1]);
  const to =
    m[3] !== undefined ? Number(m[3]) : m[2] === undefined ? from : Number.POSITIVE_INFINITY;
  const wrong = [from, to].find((n) => n < least || (n > most && n !== Number.POSITIVE_INFINITY));
  if (wrong !== undefined) {
    return problemAt(at, `${wrong} is no value of ${of}`, `Use ${least} to ${most}.`);
  }
  if (from > to) {
    return problemAt(at, `no number is at least ${from} and at most ${to}`, 'Turn the two round.');
  }
  return { kind: 'number', of, from, to };
}

/** A level by its word, or by both as a card says it: `easy`, `first-steps..3`, `2, easy`. */
function withNumbers(value: string): string {
  if (!/\p{L}/u.test(value)) return value;
  return foldText(value)
    .replaceAll('-', ' ')
    .split('..')
    .map((side) => {
      const said = side.replace(/^[1-5],? (?=\p{L})/u, '').trim();
      const at = (LEVEL_WORDS as readonly string[]).indexOf(said);
      return at < 0 || (side !== said && Number(side[0]) !== at + 1) ? side : String(at + 1);
    })
    .join('..');
}

function range(of: NumberName): string {
  const [least] = NUMBER_LIMITS[of];
  return `${Math.max(2, least)}..4`;
}

/** `level`, or `-level` for the other way round. */
export function readOrder(value: string, at: number): QueryOrder | Problem {
  const reversed = value.startsWith('-');
  const name = reversed ? value.slice(1) : value;
  const by = LIBRARY_ORDERS.find((o) => o === name.toLowerCase());
  if (by !== undefined) return { by, reversed };
  return problemAt(at, `'${name}' is no order`, `Use one of ${LIBRARY_ORDERS.join(', ')}.`);
}
