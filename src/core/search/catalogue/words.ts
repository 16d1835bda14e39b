import { Bits } from './bits';
import { type Column, longs } from './column';

/**
 * Which phrases hold which words. Folded text is words with one space between them, so that a word
 * that is looked for occurs in a text where it occurs in one of its words: a vocabulary is looked
 * through in place of every text.
 */
export class Words {
  private readonly phrases = new Map<string, Column<Uint32Array>>();

  add(text: string, phrase: number): void {
    for (const word of new Set(text.split(' '))) {
      let list = this.phrases.get(word);
      if (list === undefined) {
        list = longs();
        this.phrases.set(word, list);
      }
      list.push(phrase);
    }
  }

  /** The vocabulary, how many phrases have each word, and which, one list after the other. */
  kept(): { readonly words: string[]; readonly counts: Uint32Array; readonly lists: Uint32Array } {
    const all = [...this.phrases.values()];
    const lists = new Uint32Array(all.reduce((sum, list) => sum + list.length, 0));
    let at = 0;
    for (const list of all) {
      lists.set(list.values.subarray(0, list.length), at);
      at += list.length;
    }
    return {
      words: [...this.phrases.keys()],
      counts: Uint32Array.from(all, (l) => l.length),
      lists,
    };
  }

  /** Takes what was `kept`. */
  take(words: readonly string[], counts: Uint32Array, lists: Uint32Array): void {
    let at = 0;
    for (const [i, word] of words.entries()) {
      const list = longs();
      list.take(lists.slice(at, at + counts[i]!));
      this.phrases.set(word, list);
      at += counts[i]!;
    }
  }

  /** Every word that was ever taken in. */
  all(): Iterable<string> {
    return this.phrases.keys();
  }

  /** Whether a word of one of these phrases contains this one. */
  says(part: string, alive: Bits): boolean {
    for (const [word, list] of this.phrases) {
      if (!word.includes(part)) continue;
      for (let i = list.length - 1; i >= 0; i--) if (alive.has(list.values[i]!)) return true;
    }
    return false;
  }

  /** Whether one of these phrases has this very word. */
  has(word: string, alive: Bits): boolean {
    const list = this.phrases.get(word);
    for (let i = (list?.length ?? 0) - 1; i >= 0; i--) if (alive.has(list!.values[i]!)) return true;
    return false;
  }

  /**
   * The phrases of which a word contains this one, which has no space.
   * @param size More than the number of any phrase.
   */
  containing(part: string, size: number): Bits {
    return this.where((word) => word.includes(part), size);
  }

  /** The phrases that have a word of which something holds. */
  where(holds: (word: string) => boolean, size: number): Bits {
    const found = Bits.none(size);
    for (const [word, list] of this.phrases) {
      if (!holds(word)) continue;
      for (let i = 0; i < list.length; i++) found.add(list.values[i]!);
    }
    return found;
  }
}
