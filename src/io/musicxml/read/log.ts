import { problemPlace } from '../../../core/phrase/time-words';
import type { Phrase, Ticks } from '../../../core/phrase/types';

/**
 * Something in the file that the phrase does not hold just as it was written.
 * - `dropped`: not understood or not kept
 * - `approximated`: kept in a neighbouring form
 * - `assumed`: not said by the file
 * - `mended`: wrong in the file and put right
 */
export interface ImportNote {
  readonly kind: 'dropped' | 'approximated' | 'assumed' | 'mended';
  /** One sentence without a full stop, in plain words. */
  readonly message: string;
  /** Bar and beat of the first place (bar 0 is the pickup); absent for the whole file. */
  readonly bar?: number;
  readonly beat?: number;
  /** The beat in words, where it is no whole one. */
  readonly said?: string;
  /** Line of the text at the first place, from 1. */
  readonly line?: number;
  /** How many places the sentence stands for. */
  readonly count: number;
}

type ImportKind = ImportNote['kind'];

/** Where something was found: a time, a line of the file, or neither. */
export interface Found {
  readonly onset?: Ticks;
  readonly line?: number;
}

interface Entry {
  readonly kind: ImportKind;
  readonly message: string;
  onset: Ticks | undefined;
  line: number | undefined;
  count: number;
}

/** More different sentences than this are only counted: nobody reads them. */
const MOST_ENTRIES = 200;

/** Collects what has to be listed; equal sentences become one entry with the first place and a count. */
export class ImportLog {
  readonly #entries = new Map<string, Entry>();
  #left = 0;

  add(kind: ImportKind, message: string, found: Found = {}): void {
    const key = `${kind} ${message}`;
    const entry = this.#entries.get(key);
    if (entry === undefined) {
      if (this.#entries.size >= MOST_ENTRIES) this.#left++;
      else {
        this.#entries.set(key, { kind, message, onset: found.onset, line: found.line, count: 1 });
      }
      return;
    }
    entry.count++;
    if (found.onset !== undefined && (entry.onset === undefined || found.onset < entry.onset)) {
      entry.onset = found.onset;
      entry.line = found.line;
    }
  }

  /** The entries in the order of the music, those for the whole file first. */
  finish(p: Pick<Phrase, 'pickup' | 'bars' | 'length'>): readonly ImportNote[] {
    const sorted = [...this.#entries.values()].sort((a, b) => (a.onset ?? -1) - (b.onset ?? -1));
    const notes = sorted.map((e): ImportNote => {
      const at = e.onset === undefined ? {} : problemPlace(p, e.onset);
      const line = e.line === undefined ? {} : { line: e.line };
      return { kind: e.kind, message: e.message, ...at, ...line, count: e.count };
    });
    if (this.#left === 0) return notes;
    const message = 'more kinds of things than are listed here were changed or left out';
    return [...notes, { kind: 'dropped', message, count: this.#left }];
  }
}

/** The entry as one line of plain text: place, sentence, and how often. */
export function formatImportNote(n: ImportNote): string {
  const place = [
    n.bar === undefined ? '' : `bar ${n.bar}`,
    n.beat === undefined ? '' : `beat ${n.said ?? n.beat}`,
  ].filter((s) => s !== '');
  const head = place.length === 0 ? '' : `${n.count > 1 ? 'from ' : ''}${place.join(', ')}: `;
  return `${head}${n.message} (${n.kind}${n.count > 1 ? `, ${n.count} times` : ''})`;
}
