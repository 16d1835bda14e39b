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
  /** In the style of whom or what, ordered and spelled as tags are. */
  readonly styles: readonly { readonly style: string; readonly count: number }[];
  readonly keys: readonly Key[];
  /** By alphabet. */
  readonly chords: readonly ChordSymbol[];
  /** From R upwards. */
  readonly degrees: readonly Degree[];
  readonly levels: readonly (1 | 2 | 3 | 4 | 5)[];
  /** Collections of the library, where it has any. */
  readonly collections?: readonly { readonly title: string; readonly count: number }[];
}

/** What the phrases of a library offer to choose from, with how many have it. */
export function choicesOf(all: readonly PhraseFacts[]): LibraryChoices {
  const counter = new ChoiceCounter();
  for (const f of all) counter.add(f);
  return counter.choices();
}

/** The same for a library that is gone through a little at a time. */
export class ChoiceCounter {
  private readonly tags = new Map<string, { tag: string; count: number }>();
  private readonly styles = new Map<string, { style: string; count: number }>();
  private readonly keys = new Map<string, Key>();
  private readonly degrees = new Map<string, Degree>();
  private readonly chords = new Set<ChordSymbol>();
  private readonly levels = new Set<1 | 2 | 3 | 4 | 5>();
  /** Folded tags: a library has few tags and many phrases. */
  private readonly known = new Map<string, string>();

  add(f: PhraseFacts): void {
    // A phrase with a tag twice counts once.
    for (const [folded, tag] of new Map(f.tags.map((t) => [this.fold(t), t]))) {
      const entry = this.tags.get(folded) ?? { tag, count: 0 };
      entry.count++;
      this.tags.set(folded, entry);
    }
    if (f.styleOf !== null) {
      const folded = this.fold(f.styleOf);
      const entry = this.styles.get(folded) ?? { style: f.styleOf, count: 0 };
      entry.count++;
      if (folded !== '') this.styles.set(folded, entry);
    }
    this.keys.set(formatKey(f.key), f.key);
    for (const d of f.degrees) this.degrees.set(formatDegree(d), d);
    for (const c of f.chords) this.chords.add(c);
    if (f.level !== null) this.levels.add(f.level);
  }

  choices(): LibraryChoices {
    const byName = (a: string, b: string) => (a < b ? -1 : Number(a > b));
    return {
      tags: [...this.tags.values()]
        .map((t) => ({ ...t }))
        .sort((a, b) => b.count - a.count || byName(a.tag, b.tag)),
      styles: [...this.styles.values()]
        .map((s) => ({ ...s }))
        .sort((a, b) => b.count - a.count || byName(a.style, b.style)),
      keys: [...this.keys.values()].sort(compareKeys),
      chords: [...this.chords].sort(byName),
      degrees: [...this.degrees.values()].sort(byHeight),
      levels: [...this.levels].sort((a, b) => a - b),
    };
  }

  private fold(tag: string): string {
    const folded = this.known.get(tag) ?? foldText(tag);
    this.known.set(tag, folded);
    return folded;
  }
}
