import { either } from './join';
import type { Query, Search } from './types';

/** A word that nothing says, and those that were looked for in its place, the nearest first. */
export interface Instead {
  readonly typed: string;
  readonly words: readonly string[];
}

/** The words of a library. */
export interface Vocabulary {
  /** Whether a word of a phrase that is there contains this one. */
  says(part: string): boolean;
  /** Every word; some may be of phrases that are gone. */
  words(): Iterable<string>;
  /** Whether a phrase that is there has this word. */
  has(word: string): boolean;
}

/** How many letters more, less or other make one word of another (V. Levenshtein). */
export type Distance = (a: string, b: string) => number;

/** More words than this are no help. */
const MOST = 4;

/**
 * A search with its slips mended: a word that no phrase says becomes the words of the library that
 * are nearest to it. What is written in quotes with spaces, and what must not be there, stays.
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
        instead.push({ typed: text, words });
        return either(words.map((word) => ({ ...q, text: word })));
      }
      default:
        return q;
    }
  };
  const query = correct(search.query);
  return instead.length === 0 ? { search, instead } : { search: { ...search, query }, instead };
}

/** Slips that are allowed in a word of so many letters. */
function allowed(letters: number): number {
  return letters < 4 ? 0 : letters < 7 ? 1 : 2;
}

function nearWords(typed: string, vocabulary: Vocabulary, distance: Distance): readonly string[] {
  const most = allowed(typed.length);
  if (most === 0) return [];
  const found: { readonly word: string; readonly far: number }[] = [];
  const letters = sorted(typed);
  for (const word of vocabulary.words()) {
    if (Math.abs(word.length - typed.length) > most || word.length < 3) continue;
    let far = distance(typed, word);
    // Two letters that changed places are one slip.
    if (far === 2 && word.length === typed.length && sorted(word) === letters) far = 1;
    if (far <= most && vocabulary.has(word)) found.push({ word, far });
  }
  const least = Math.min(...found.map((f) => f.far));
  return found
    .filter((f) => f.far === least)
    .map((f) => f.word)
    .sort()
    .slice(0, MOST);
}

function sorted(word: string): string {
  return [...word].sort().join('');
}
