import { either } from './join';
import type { Query, Search } from './types';
import { bareWord } from './wordings';

/** A word that was taken for a slip, and those that were looked for in its place. */
export interface Instead {
  readonly typed: string;
  readonly words: readonly string[];
  /** Nothing says the word at all; else something does, but nothing that says the other words too. */
  readonly alone: boolean;
}

/** The words of a library. */
export interface Vocabulary {
  /** Whether a word of a phrase that is there contains this one. */
  says(part: string): boolean;
  /** Every word; some may be of phrases that are gone. */
  words(): Iterable<string>;
  /** Whether a phrase that is there has this word. */
  has(word: string): boolean;
  /** Whether a phrase that is there says one at least of each of these. */
  saysAll(parts: readonly (readonly string[])[]): boolean;
}

/** How many letters more, less or other make one word of another (V. Levenshtein). */
export type Distance = (a: string, b: string) => number;

/** More words than this are no help. */
const MOST = 4;

/**
 * A search with its slips mended: a word that no phrase says becomes the words of the library that
 * are nearest to it. Where each word is said, but nothing says all of them that stand side by side, the one is taken
 * for a slip with which something does. What is written in quotes with spaces, and what must not be there, stays.
 */
export function correctSearch(
  search: Search,
  vocabulary: Vocabulary,
  distance: Distance,
): { readonly search: Search; readonly instead: readonly Instead[] } {
  const instead: Instead[] = [];
  const correct = (q: Query): Query => {
    switch (q.kind) {
      case 'both':
        return { kind: 'both', parts: q.parts.map(correct) };
      case 'either':
        return either(q.parts.map(correct));
      case 'text':
      case 'in': {
        const { text } = q;
        if (text.includes(' ') || vocabulary.says(text)) return q;
        const words = nearWords(text, vocabulary, distance);
        if (words.length === 0) return q;
        // What is typed twice is told once.
        if (!instead.some((i) => i.typed === text))
          instead.push({ typed: text, words, alone: true });
        return either(words.map((word) => ({ ...q, text: word })));
      }
      default:
        return q;
    }
  };
  const query = correctTogether(correct(search.query), vocabulary, distance, instead);
  return instead.length === 0 ? { search, instead } : { search: { ...search, query }, instead };
}

/** More words than this are not tried one after the other. */
const MOST_TRIED = 8;

/** The same with one word more mended, where nothing says all of its words; that word is added to `instead`. */
function correctTogether(
  query: Query,
  vocabulary: Vocabulary,
  distance: Distance,
  instead: Instead[],
): Query {
  const parts = query.kind === 'both' ? query.parts : [];
  const places = parts.flatMap((p, i) => (saidBy(p) === null ? [] : i));
  const said = places.map((i) => saidBy(parts[i]!)!);
  if (said.length < 2 || said.length > MOST_TRIED || vocabulary.saysAll(said)) return query;
  for (const [n, i] of places.entries()) {
    const part = parts[i]!;
    if (part.kind !== 'text' || part.text.includes(' ')) continue;
    const near = nearWords(part.text, vocabulary, distance).filter((word) =>
      vocabulary.saysAll(put(said, n, [word])),
    );
    if (near.length === 0) continue;
    // A word that was put in the place of another was typed by nobody.
    const known = instead.findIndex((x) => x.words.length === 1 && x.words[0] === part.text);
    const typed = instead[known]?.typed ?? part.text;
    instead.splice(known < 0 ? instead.length : known, 1, { typed, words: near, alone: false });
    const mended = either(near.map((text) => ({ ...part, text })));
    return { kind: 'both', parts: put(parts, i, mended) };
  }
  return query;
}

/** The list with another item at a place. */
function put<T>(list: readonly T[], place: number, item: T): readonly T[] {
  return list.map((x, i) => (i === place ? item : x));
}

/** The words of which a part asks for one; null for another part. */
function saidBy(q: Query): readonly string[] | null {
  if (q.kind === 'text') return [q.text];
  if (q.kind !== 'either') return null;
  const words = q.parts.flatMap((p) => (p.kind === 'text' ? p.text : []));
  return words.length === q.parts.length ? words : null;
}

/** Slips that are allowed in a word of so many letters, to make one of so many. */
function allowed(typed: number, letters: number): number {
  // A letter left out of four.
  if (typed === 3) return letters === 4 ? 1 : 0;
  return typed < 4 ? 0 : typed < 7 ? 1 : 2;
}

function nearWords(typed: string, vocabulary: Vocabulary, distance: Distance): readonly string[] {
  if (typed.length < 3) return [];
  const found: { readonly word: string; readonly far: number }[] = [];
  const letters = sorted(typed);
  for (const said of vocabulary.words()) {
    const word = bareWord(said);
    const most = allowed(typed.length, word.length);
    if (word === typed || Math.abs(word.length - typed.length) > most || word.length < 3) continue;
    let far = distance(typed, word);
    // Two letters that changed places are one slip.
    if (far === 2 && word.length === typed.length && sorted(word) === letters) far = 1;
    if (far <= most && vocabulary.has(said)) found.push({ word, far });
  }
  const least = Math.min(...found.map((f) => f.far));
  const nearest = found.filter((f) => f.far === least).map((f) => f.word);
  return [...new Set(nearest)].sort().slice(0, MOST);
}

function sorted(word: string): string {
  return [...word].sort().join('');
}
