import { LIBRARY_ORDERS } from '../../library/sort';
import { ROLES } from '../../phrase/types';
import { TECHNIQUE_NAMES } from './technique-names';

/** The names that stand before a colon, with what they ask for. */
export const FIELDS = {
  with: 'what is done with a note: bend, slide, vibrato',
  role: 'what a note is for: blue-note, approach, passing',
  tonic: 'degrees counted from the tonic: 5-6-b7',
  first: 'the degree of the first note',
  last: 'the degree of the last note',
  rhythm:
    'note values in a row: q-e-e, q. dotted, e3 of a triplet, e7:3 of seven in the time of three, re a rest',
  contour: 'how a line goes on: > higher, < lower, = the same',
  intervals: 'semitones from note to note: +2-3+0',
  chord: 'a chord of the lane: C7, IV7',
  fits: 'the chord that all of it can be moved to, or the change that its end can: IV7, V>I',
  key: 'the key: G, Gm, G-blues, minor',
  feel: 'straight, swung or shuffle',
  meter: 'a metre: 4/4, 12/8',
  level: 'the level, 1 to 5, or its word: easy',
  bars: 'how many bars: 2, 2..4',
  notes: 'how many notes',
  tempo: 'beats a minute: 80..120',
  span: 'semitones from the lowest note to the highest',
  frets: 'where it lies: every fretted note in 5..8',
  strings: 'the strings it stays on: 1..3',
  title: 'words of the title',
  tag: 'words of a tag',
  style: 'in the style of',
  source: 'where it comes from',
  remarks: 'words of the notes for students',
  in: 'in a collection of that title',
  used: 'used on that day, month or year: 2026-11; or never',
  idle: 'days since it was used last: 30..',
  since: 'changed on that day or later: 2026-11',
  before: 'changed before that day',
  order: `in what order: ${LIBRARY_ORDERS.join(', ')}; -level the other way round`,
} as const satisfies Readonly<Record<string, string>>;

export type FieldName = keyof typeof FIELDS;

export const FIELD_NAMES = Object.keys(FIELDS) as readonly FieldName[];

export const NUMBER_LIMITS = {
  level: [1, 5],
  bars: [1, 9999],
  tempo: [1, 999],
  notes: [0, 99999],
  span: [0, 127],
  frets: [0, 36],
  strings: [1, 12],
  idle: [0, 36500],
} as const;

/** Roles in one word each. */
export const ROLE_NAMES = ROLES.map((role) => ({ role, name: role.replace(' ', '-') }));

export const FEEL_NAMES = ['straight', 'swung', 'shuffle'] as const;

/** Words that join, and so have to stand in quotes where they are looked for as words. */
export const JOINING = ['or', 'not', 'over', 'level', 'bar', 'bars'] as const;

/** The numerals that are asked for most (common practice): of major, minor and blues. */
export const USUAL_NUMERALS = [
  ...['I7', 'IV7', 'V7', 'I', 'IV', 'V', 'ii7', 'iii7', 'vi7', 'Imaj7', 'IVmaj7'],
  ...['i7', 'iv7', 'v7', 'ii', 'iii', 'vi', 'i', 'iv', 'v', 'bVI7', 'bVII7', 'bIII', 'bVI', 'bVII'],
] as const;

/** Values that can be listed for a field, apart from what a library holds. */
export const LISTED_VALUES: Partial<Readonly<Record<FieldName, readonly string[]>>> = {
  with: TECHNIQUE_NAMES,
  role: ROLE_NAMES.map((r) => r.name),
  feel: FEEL_NAMES,
  order: LIBRARY_ORDERS,
  used: ['never'],
  idle: ['7..', '30..', '90..'],
  key: ['major', 'minor', 'blues'],
  meter: ['4/4', '3/4', '2/4', '6/8', '12/8', '5/4', '7/8'],
};
