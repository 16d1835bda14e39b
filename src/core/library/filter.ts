import { canonicalSymbol } from '../theory/chord';
import { type Degree, sameDegree } from '../theory/degree';
import type { Key } from '../theory/key';
import { samePitchClass } from '../theory/pitch';
import type { PhraseFacts } from './facts';
import { foldText } from './fold';

/** What is looked for; every part that is set must hold. */
export interface LibraryFilter {
  /** A text of the query language, which the index of the library answers. */
  readonly words: string;
  /** Id of a phrase: what is like it, the likest first; empty for none. */
  readonly like: string;
  /** All of them, whatever their case. */
  readonly tags: readonly string[];
  readonly key: Key | null;
  /** A chord symbol as typed; compared by its canonical spelling (`C-7` finds `Cm7`). */
  readonly chord: string;
  /** Any of them; none is every level. */
  readonly levels: readonly (1 | 2 | 3 | 4 | 5)[];
  /** All of them, by name: ♯2 is not ♭3. */
  readonly degrees: readonly Degree[];
}

export const NO_FILTER: LibraryFilter = {
  words: '',
  like: '',
  tags: [],
  key: null,
  chord: '',
  levels: [],
  degrees: [],
};

/** Whether nothing is looked for, so that everything is found. */
export function isNoFilter(f: LibraryFilter): boolean {
  return (
    f.words.trim() === '' &&
    f.like === '' &&
    f.tags.length === 0 &&
    f.key === null &&
    f.chord.trim() === '' &&
    f.levels.length === 0 &&
    f.degrees.length === 0
  );
}

/** The facts that all of a filter but its words and likeness lets through, in their order. */
export function filterPhrases<F extends PhraseFacts>(
  all: readonly F[],
  filter: LibraryFilter,
): readonly F[] {
  const tags = filter.tags.map(foldText);
  const chord = chordTest(filter.chord);
  return all.filter(
    (f) =>
      tags.every((t) => f.tags.some((own) => foldText(own) === t)) &&
      (filter.key === null || sameKey(f.key, filter.key)) &&
      chord(f) &&
      (filter.levels.length === 0 || filter.levels.some((l) => l === f.level)) &&
      filter.degrees.every((d) => f.degrees.some((own) => sameDegree(own, d))),
  );
}

function sameKey(a: Key, b: Key): boolean {
  return a.mode === b.mode && samePitchClass(a.tonic, b.tonic);
}

/** A symbol that can be read is compared as a chord; half of one finds what begins with it. */
function chordTest(typed: string): (f: PhraseFacts) => boolean {
  const plain = typed.trim();
  if (plain === '') return () => true;
  const symbol = canonicalSymbol(plain);
  if (symbol.ok) return (f) => f.chords.includes(symbol.value);
  const start = foldText(plain);
  return (f) => f.chords.some((c) => foldText(c).startsWith(start));
}
