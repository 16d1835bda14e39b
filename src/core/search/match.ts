import { bareWord, type Wanted, type Wording } from './query/wordings';

/**
 * How well words fit a phrase, the best first. Made up here: what one types is most often how a title begins, and a
 * word in the title says more of a phrase than one in its notes.
 */
export const MATCH = {
  /** The title, and nothing more. */
  title: 0,
  /** How the title begins; of the last word its beginning is enough. */
  begins: 1,
  /** All of them are words of the title, in any order. */
  words: 2,
  /** All begin words of the title. */
  beginnings: 3,
  /** All stand somewhere in the title. */
  parts: 4,
  /** Half of them at least stand in the title. */
  half: 5,
  /** One of them at least stands in the title. */
  some: 6,
  /** One at least stands in a tag or in what it is in the style of. */
  tags: 7,
  /** One at least stands in the notes for students or in the source. */
  notes: 8,
  /** Where the index finds them in nothing of these. */
  elsewhere: 9,
} as const;

/** How many such grades there are. */
export const MATCHES = Object.keys(MATCH).length;

/** How a word that is looked for stands in a word of a text. */
export const STANDS = { not: 0, inside: 1, begins: 2, whole: 3 } as const;

/** Where a phrase says something: words without the signs around them, in their order. */
export interface SaidWords {
  readonly title: readonly string[];
  readonly tags: readonly string[];
  readonly notes: readonly string[];
}

/** How well the best of several wordings fits, as a number of `MATCH`: by the words themselves, and the oracle of the index. */
export function matchOf(wordings: readonly Wording[], said: SaidWords): number {
  return Math.min(...wordings.map((w) => matchOne(w, said)));
}

function matchOne(wording: Wording, { title, tags, notes }: SaidWords): number {
  if (wording.length === 0) return MATCH.elsewhere;
  const last = wording.length - 1;
  const stands = wording.map((w, i) => (title[i] === undefined ? 0 : standsIn(w, title[i])));
  if (stands.every((s, i) => s >= (i < last ? STANDS.whole : STANDS.begins))) {
    const all = title.length === wording.length && stands[last] === STANDS.whole;
    return all ? MATCH.title : MATCH.begins;
  }
  const inTitle = wording.map((w) => bestIn(title, w));
  const worst = Math.min(...inTitle);
  if (worst > 0) return ALL_IN_TITLE[worst]!;
  const many = inTitle.filter((s) => s > 0).length;
  if (many > 0) return 2 * many >= wording.length ? MATCH.half : MATCH.some;
  if (wording.some((w) => bestIn(tags, w) > 0)) return MATCH.tags;
  return wording.some((w) => bestIn(notes, w) > 0) ? MATCH.notes : MATCH.elsewhere;
}

/** Where all words stand in the title, by the one that stands there worst. */
export const ALL_IN_TITLE: Readonly<Record<number, number>> = {
  [STANDS.inside]: MATCH.parts,
  [STANDS.begins]: MATCH.beginnings,
  [STANDS.whole]: MATCH.words,
};

function bestIn(words: readonly string[], wanted: Wanted): number {
  return Math.max(0, ...words.map((word) => standsIn(wanted, word)));
}

/** How a wanted word stands in a word of a text, which has no signs around it. */
export function standsIn({ text, whole }: Wanted, word: string): number {
  if (word === text) return STANDS.whole;
  if (whole) return STANDS.not;
  if (word.startsWith(text)) return STANDS.begins;
  return word.includes(text) ? STANDS.inside : STANDS.not;
}

/** The words of folded texts, one after the other, without the signs around them. */
export function bareWords(texts: readonly string[]): readonly string[] {
  return texts.flatMap((t) => t.split(' ').map(bareWord)).filter((w) => w !== '');
}
