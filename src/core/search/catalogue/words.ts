import { bareWord } from '../query/wordings';
import { Bits } from './bits';
import { type Column, longs } from './column';

/** What is looked for in one question, and some that were before. */
const MOST_FOUND = 8;

/**
 * Which phrases hold which words. Folded text is words with one space between them, so that a word
 * that is looked for occurs in a text where it occurs in one of its words: a vocabulary is looked
 * through in place of every text.
 */
export class Words {
  /** Every word by its number. */
  readonly names: string[] = [];
  /** Likewise, without the signs around it. */
  readonly bare: string[] = [];
  private readonly lists: Column<Uint32Array>[] = [];
  private readonly numbers = new Map<string, number>();
  /** Numbers of the words that contain what was looked for last; as long as no word comes. */
  private readonly found = new Map<string, readonly number[]>();

  add(text: string, phrase: number): void {
    for (const word of new Set(text.split(' '))) this.lists[this.numberOf(word)]!.push(phrase);
  }

  /** The number of a word, which it keeps. */
  numberOf(word: string): number {
    const known = this.numbers.get(word);
    if (known !== undefined) return known;
    this.numbers.set(word, this.names.length);
    this.lists.push(longs());
    this.bare.push(bareWord(word));
    this.found.clear();
    return this.names.push(word) - 1;
  }

  /** The vocabulary, how many phrases have each word, and which, one list after the other. */
  kept(): { readonly words: string[]; readonly counts: Uint32Array; readonly lists: Uint32Array } {
    const all = this.lists;
    const lists = new Uint32Array(all.reduce((sum, list) => sum + list.length, 0));
    let at = 0;
    for (const list of all) {
      lists.set(list.values.subarray(0, list.length), at);
      at += list.length;
    }
    return {
      words: this.names,
      counts: Uint32Array.from(all, (l) => l.length),
      lists,
    };
  }

  /** Takes what was `kept`. */
  take(words: readonly string[], counts: Uint32Array, lists: Uint32Array): void {
    let at = 0;
    for (const [i, word] of words.entries()) {
      this.lists[this.numberOf(word)]!.take(lists.slice(at, at + counts[i]!));
      at += counts[i]!;
    }
  }

  /** Every word that was ever taken in. */
  all(): Iterable<string> {
    return this.names;
  }

  /** The numbers of the words that contain this one, which is asked for several times in one question. */
  matching(part: string): readonly number[] {
    const known = this.found.get(part);
    if (known !== undefined) return known;
    const numbers: number[] = [];
    for (const [n, name] of this.names.entries()) if (name.includes(part)) numbers.push(n);
    if (this.found.size === MOST_FOUND) this.found.clear();
    this.found.set(part, numbers);
    return numbers;
  }

  /** Whether a word of one of these phrases contains this one. */
  says(part: string, alive: Bits): boolean {
    for (const n of this.matching(part)) {
      const list = this.lists[n]!;
      for (let i = list.length - 1; i >= 0; i--) if (alive.has(list.values[i]!)) return true;
    }
    return false;
  }

  /** Whether one of these phrases has this very word. */
  has(word: string, alive: Bits): boolean {
    const list = this.lists[this.numbers.get(word) ?? -1];
    for (let i = (list?.length ?? 0) - 1; i >= 0; i--) if (alive.has(list!.values[i]!)) return true;
    return false;
  }

  /**
   * The phrases of which a word contains this one, which has no space.
   * @param size More than the number of any phrase.
   */
  containing(part: string, size: number): Bits {
    return this.listed(this.matching(part), size);
  }

  /** The phrases that have a word of which something holds. */
  where(holds: (word: string) => boolean, size: number): Bits {
    const numbers: number[] = [];
    for (const [n, name] of this.names.entries()) if (holds(name)) numbers.push(n);
    return this.listed(numbers, size);
  }

  private listed(words: readonly number[], size: number): Bits {
    const found = Bits.none(size);
    for (const n of words) {
      const { values, length } = this.lists[n]!;
      for (let i = 0; i < length; i++) found.add(values[i]!);
    }
    return found;
  }
}
