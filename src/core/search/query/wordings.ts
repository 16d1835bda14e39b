import { foldText } from '../../library/fold';
import { formatDegree } from '../../theory/degree';
import type { Query } from './types';

/** A word that is looked for, without the signs around it, and how it may stand in a text. */
export interface Wanted {
  readonly text: string;
  /** Only as a word of its own: what may be a chord or degree as well. */
  readonly whole: boolean;
}

/** Words in the order in which they were typed. */
export type Wording = readonly Wanted[];

/** More ways of saying something are not compared, nor more words in all of them. */
const MOST_WORDINGS = 32;
const MOST_WORDS = 10;

/**
 * The words of a query, once for each way in which `or` lets it be said; numerals and degrees may be words of a title or
 * not. What must not be there, what is looked for in another field than the title, and music, are no words.
 */
export function wordingsOf(q: Query): readonly Wording[] {
  const ways = waysOf(q);
  const known = new Set<string>();
  const first = (w: Wanted) => {
    const key = `${w.whole} ${w.text}`;
    if (known.size < MOST_WORDS) known.add(key);
    return known.has(key);
  };
  return ways.map((way) => way.filter(first));
}

function waysOf(q: Query): readonly Wording[] {
  switch (q.kind) {
    case 'both':
      return q.parts.reduce<readonly Wording[]>((ways, part) => joined(ways, waysOf(part)), [[]]);
    case 'either':
      return few(q.parts.flatMap(waysOf));
    case 'text':
      return [wantedIn(q.text)];
    case 'in':
      return q.field === 'title' ? [wantedIn(q.text)] : [[]];
    case 'numeral':
      return [[{ text: foldText(q.numeral), whole: true }], []];
    case 'degree':
      return [[{ text: foldText(formatDegree(q.degree)), whole: true }], []];
    default:
      return [[]];
  }
}

/** Whether words are looked for, so that one thing can fit better than another. */
export function asksWords(q: Query): boolean {
  return wordingsOf(q).some((w) => w.some((x) => !x.whole));
}

/** A word without the signs before and behind it: `key` of `"key",`; empty for signs alone. */
export function bareWord(word: string): string {
  // Most words have none.
  if (/^[a-z\d]+$/.test(word)) return word;
  // From the first letter to the last in one pass: a row of signs at the end would be gone through once for each of them.
  return /[\p{L}\p{N}](?:.*[\p{L}\p{N}#])?/su.exec(word)?.[0] ?? '';
}

function wantedIn(text: string): Wording {
  return text
    .split(' ')
    .map(bareWord)
    .flatMap((w) => (w === '' ? [] : { text: w, whole: false }));
}

function joined(ways: readonly Wording[], more: readonly Wording[]): readonly Wording[] {
  return few(ways.flatMap((way) => more.map((m) => [...way, ...m])));
}

function few(ways: readonly Wording[]): readonly Wording[] {
  return ways.slice(0, MOST_WORDINGS);
}
