import type { Problem, Result } from '../../core/result';
import { LIMITS } from '../json/limits';
import { FILE_KINDS } from '../kinds/file-kinds';
import type { AnyKind, CheckedThing } from '../kinds/kind';
import { decodeLibrary } from './decode';
import { Entries, type ListName, type Taking } from './entries';
import type { FoundRight } from './found-right';
import { LibrarySplitter } from './split';

/** Something in a library file, checked, with its place in its list, from 0. */
export interface LibraryEntry extends CheckedThing {
  readonly list: ListName;
  readonly at: number;
}

/**
 * Reads a library file piece by piece: `take` the pieces of its bytes in order, then `end`. No more is
 * held than the longest entry and the ids, however large the file is. Every entry is checked as it
 * is when it stands alone; what is wrong is told at the end, all of it.
 */
export class LibraryReader {
  private readonly decoder = new TextDecoder('utf-8', { fatal: true });
  private readonly splitter = new LibrarySplitter(LIMITS.phraseText);
  private readonly entries: Entries;
  private readonly counts = { phrases: 0, others: 0 };
  private unreadable: Problem | null = null;

  /**
   * @param kinds What a library can hold.
   * @param right Of the same file read before, so that it is checked once.
   * @param known What need not be read, see `Taking`.
   */
  constructor(
    private readonly kinds: readonly AnyKind[] = FILE_KINDS,
    private readonly right: FoundRight | null = null,
    known?: Taking['known'],
  ) {
    this.entries = new Entries(kinds, right, known);
  }

  /** How many entries have been read. */
  get done(): number {
    return this.counts.phrases + this.counts.others;
  }

  /** Whether reading on is of no use. */
  get givenUp(): boolean {
    return this.unreadable !== null || this.entries.givenUp || this.splitter.problem !== null;
  }

  /** @returns the entries that are whole now; none once anything was wrong. */
  *take(bytes: Uint8Array): Generator<LibraryEntry, void> {
    if (this.givenUp) return;
    const text = this.textOf(bytes);
    if (text === null) return;
    for (const { list, text: one } of this.splitter.take(text)) {
      const at = this.counts[list];
      this.counts[list] += 1;
      const thing = this.entries.check(list, at, one);
      if (thing !== null && this.entries.problems.length === 0) yield { list, at, ...thing };
      if (this.givenUp) return;
    }
  }

  /** After the last piece: how many entries there are, or everything that is wrong. */
  end(): Result<number> {
    const problems = [...this.entries.problems];
    if (this.unreadable !== null) problems.push(this.unreadable);
    if (problems.length === 0 || !this.givenUp) {
      const shell = this.splitter.end();
      if (!shell.ok) problems.push(...shell.problems);
      else {
        // What stands around the entries is read as a library without any.
        const empty = decodeLibrary(shell.value, this.kinds);
        if (!empty.ok) problems.unshift(...empty.problems);
      }
    }
    if (problems.length === 0) this.right?.end();
    return problems.length > 0 ? { ok: false, problems } : { ok: true, value: this.done };
  }

  private textOf(bytes: Uint8Array): string | null {
    try {
      return this.decoder.decode(bytes, { stream: true });
    } catch {
      this.unreadable = {
        message: 'the file is no text in UTF-8',
        fix: 'Save it again in UTF-8.',
      };
      return null;
    }
  }
}

/** Characters in which a file says what it is, where it says it first, as this program does. */
const HEAD = 4096;

/** Whether a file is a library, by its beginning. */
export function isLibrary(beginning: Uint8Array): boolean {
  const text = new TextDecoder().decode(beginning.subarray(0, HEAD));
  return /^\s*\{[^{[]*"format"\s*:\s*"degreewise-library"/u.test(text);
}
