import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { decodeLibrary, decodePhrase } from '../json';
import { LIMITS } from '../json/limits';
import { PhraseSplitter } from './split';

/** A phrase of a library file, checked, with its place among the others, from 0. */
export interface LibraryEntry {
  readonly at: number;
  readonly phrase: Phrase;
}

/** So many broken phrases are read before a library is given up. */
const MOST_BROKEN = 20;

/**
 * Reads a library file piece by piece: `take` the pieces of its bytes in order, then `end`. No more is
 * held than the longest phrase and the ids, however large the file is. Every phrase is checked as it
 * is when it stands alone; what is wrong is told at the end, all of it.
 */
export class LibraryReader {
  private readonly decoder = new TextDecoder('utf-8', { fatal: true });
  private readonly splitter = new PhraseSplitter(LIMITS.phraseText);
  private readonly problems: Problem[] = [];
  private readonly places = new Map<string, number>();
  private broken = 0;
  private count = 0;

  /** How many phrases have been read. */
  get done(): number {
    return this.count;
  }

  /** Whether reading on is of no use. */
  get givenUp(): boolean {
    return this.broken >= MOST_BROKEN || this.splitter.problem !== null;
  }

  /** @returns the phrases that are whole now; none once anything was wrong. */
  *take(bytes: Uint8Array): Generator<LibraryEntry, void> {
    if (this.givenUp) return;
    const text = this.textOf(bytes);
    if (text === null) return;
    for (const one of this.splitter.take(text)) {
      const at = this.count;
      this.count += 1;
      const phrase = this.check(one, at);
      if (phrase !== null && this.problems.length === 0) yield { at, phrase };
      if (this.givenUp) return;
    }
  }

  /** After the last piece: how many phrases there are, or everything that is wrong. */
  end(): Result<number> {
    if (this.problems.length === 0 || !this.givenUp) {
      const shell = this.splitter.end();
      if (!shell.ok) this.problems.push(...shell.problems);
      else {
        // What stands around the phrases is read as a library without any.
        const empty = decodeLibrary(shell.value);
        if (!empty.ok) this.problems.unshift(...empty.problems);
      }
    }
    return this.problems.length > 0 ? { ok: false, problems: this.problems } : ok(this.count);
  }

  private textOf(bytes: Uint8Array): string | null {
    try {
      return this.decoder.decode(bytes, { stream: true });
    } catch {
      this.problems.push({
        message: 'the file is no text in UTF-8',
        fix: 'Save it again in UTF-8.',
      });
      this.broken = MOST_BROKEN;
      return null;
    }
  }

  private check(text: string, at: number): Phrase | null {
    const read = text === '' ? fail(MISSING) : decodePhrase(text);
    if (!read.ok) {
      this.broken += 1;
      for (const p of read.problems) {
        this.problems.push({ ...p, pointer: `/phrases/${at}${p.pointer ?? ''}` });
      }
      return null;
    }
    const { id } = read.value;
    const first = this.places.get(id);
    if (first === undefined) this.places.set(id, at);
    else {
      this.broken += 1;
      this.problems.push({
        message: `the phrase has the same id as phrase ${first + 1}`,
        fix: 'Give one of them another id, or remove it.',
        pointer: `/phrases/${at}/id`,
      });
    }
    return read.value;
  }
}

const MISSING: Problem = {
  message: 'there is no phrase between two commas',
  fix: 'Remove one of the commas.',
};

/** Characters in which a file says what it is, where it says it first, as this program does. */
const HEAD = 4096;

/** Whether a file is a library, by its beginning. */
export function isLibrary(beginning: Uint8Array): boolean {
  const text = new TextDecoder().decode(beginning.subarray(0, HEAD));
  return /^\s*\{[^{[]*"format"\s*:\s*"degreewise-library"/u.test(text);
}
