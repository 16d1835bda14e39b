import { type Key, signatureFifths } from '../theory/key';
import type { PhraseFacts } from './facts';
import { NO_USES, type UseDays } from './use';

export const LIBRARY_ORDERS = [
  'title',
  'begin',
  'changed',
  'level',
  'key',
  'bars',
  'used',
  'match',
] as const;

/**
 * - `title`: by alphabet, numbers by value, phrases without a title last.
 * - `begin`: what one begins with: guitars of six strings first, of those the easiest.
 * - `changed`: the last changed first.
 * - `level`: the easiest first, phrases without a level last.
 * - `key`: by signature from flats to sharps, then major, blues, minor.
 * - `bars`: the shortest first.
 * - `used`: what was never used first, then what was used longest ago.
 * - `match`: how well the words fit that are looked for (`search/match.ts`); without a question all fit alike.
 */
export type LibraryOrder = (typeof LIBRARY_ORDERS)[number];

/** One language for all, so that a library has one order on every machine. */
const ALPHABET = new Intl.Collator('en', { numeric: true, sensitivity: 'base' });

/** The facts that an order looks at. */
export type Sortable = Omit<PhraseFacts, 'degrees'>;

type Compare = (a: Sortable, b: Sortable, uses: UseDays) => number;

type Titled = Pick<Sortable, 'id' | 'title'>;

const byTitle = (a: Titled, b: Titled): number =>
  Number(a.title.trim() === '') - Number(b.title.trim() === '') ||
  ALPHABET.compare(a.title, b.title);

/** Days are compared as texts; no day comes before all. */
const lastOf = (f: Sortable, uses: UseDays) => uses.get(f.id)?.at(-1) ?? '';

const NO_LEVEL = 6;

const byLevel = (a: Sortable, b: Sortable): number => (a.level ?? NO_LEVEL) - (b.level ?? NO_LEVEL);

const COMPARE: Readonly<Record<LibraryOrder, Compare>> = {
  title: byTitle,
  begin: (a, b) => Number(b.guitar) - Number(a.guitar) || byLevel(a, b),
  changed: (a, b) =>
    a.modified === b.modified ? 0 : Date.parse(b.modified) - Date.parse(a.modified),
  level: byLevel,
  key: (a, b) => compareKeys(a.key, b.key),
  bars: (a, b) => a.bars - b.bars,
  used: (a, b, uses) => {
    const [p, q] = [lastOf(a, uses), lastOf(b, uses)];
    return p < q ? -1 : Number(p > q);
  },
  match: () => 0,
};

/** A sorted copy; equal ones by title, then by id, so that the order never depends on the input's. */
export function sortPhrases<F extends Sortable>(
  all: readonly F[],
  order: LibraryOrder,
  uses: UseDays = NO_USES,
): readonly F[] {
  return [...all].sort(compareIn(order, uses));
}

/** The same without a look at titles: 0 also for what is equal in that order, for `title` always. */
export function compareFirst(
  order: LibraryOrder,
  uses: UseDays = NO_USES,
): (a: Sortable, b: Sortable) => number {
  if (order === 'title' || order === 'match') return () => 0;
  const compare = COMPARE[order];
  return (a, b) => compare(a, b, uses);
}

/** Which of two comes first; 0 only for the same phrase. */
export function compareIn(
  order: LibraryOrder,
  uses: UseDays = NO_USES,
): (a: Sortable, b: Sortable) => number {
  const compare = COMPARE[order];
  return (a, b) => compare(a, b, uses) || compareTitles(a, b);
}

/** The order by title; 0 only for the same phrase. */
export function compareTitles(a: Titled, b: Titled): number {
  return byTitle(a, b) || (a.id < b.id ? -1 : Number(a.id > b.id));
}

const MODES: readonly Key['mode'][] = ['major', 'blues', 'minor'];

/** Keys by signature from flats to sharps, then major, blues, minor. */
export function compareKeys(a: Key, b: Key): number {
  return signatureFifths(a) - signatureFifths(b) || MODES.indexOf(a.mode) - MODES.indexOf(b.mode);
}
