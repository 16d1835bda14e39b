import type { ChordSymbol, Key } from '../phrase/types';
import { type Degree, formatDegree } from '../theory/degree';
import { formatKey } from '../theory/key';
import { byHeight, type PhraseFacts } from './facts';
import { foldText } from './fold';
import { compareKeys } from './sort';

/** Everything that occurs in a library, to choose from; what occurs nowhere is not offered. */
export interface LibraryChoices {
  /** The most used first, then by alphabet; spelled as where it was first met. */
  readonly tags: readonly { readonly tag: string; readonly count: number }[];
  readonly keys: readonly Key[];
  /** By alphabet. */
  readonly chords: readonly ChordSymbol[];
  /** From R upwards. */
  readonly degrees: readonly Degree[];
  readonly levels: readonly (1 | 2 | 3 | 4 | 5)[];
  /** Collections of the library, where it has any. */
  readonly collections?: readonly { readonly title: string; readonly count: number }[];
}

export function choicesOf(all: readonly PhraseFacts[]): LibraryChoices {
  const tags = new Map<string, { tag: string; count: number }>();
  const keys = new Map<string, Key>();
  const degrees = new Map<string, Degree>();
  const chords = new Set<ChordSymbol>();
  const levels = new Set<1 | 2 | 3 | 4 | 5>();
  // A library has few tags and many phrases.
  const known = new Map<string, string>();
  const fold = (tag: string): string => {
    const folded = known.get(tag) ?? foldText(tag);
    known.set(tag, folded);
    return folded;
  };
  for (const f of all) {
    // A phrase with a tag twice counts once.
    for (const [folded, tag] of new Map(f.tags.map((t) => [fold(t), t]))) {
      const entry = tags.get(folded) ?? { tag, count: 0 };
      entry.count++;
      tags.set(folded, entry);
    }
    keys.set(formatKey(f.key), f.key);
    for (const d of f.degrees) degrees.set(formatDegree(d), d);
    for (const c of f.chords) chords.add(c);
    if (f.level !== null) levels.add(f.level);
  }
  const byName = (a: string, b: string) => (a < b ? -1 : Number(a > b));
  return {
    tags: [...tags.values()].sort((a, b) => b.count - a.count || byName(a.tag, b.tag)),
    keys: [...keys.values()].sort(compareKeys),
    chords: [...chords].sort(byName),
    degrees: [...degrees.values()].sort(byHeight),
    levels: [...levels].sort((a, b) => a - b),
  };
}
