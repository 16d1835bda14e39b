import { factsOf, type PhraseFacts } from '../../core/library/facts';
import type { Phrase } from '../../core/phrase/types';
import type { FactsShelf } from '../../storage/facts-shelf';
import type { KnownFacts, PhraseEntry, StoredPhrase } from '../../storage/types';

type Source = Pick<PhraseEntry, 'id' | 'sum' | 'peek'>;

/** Phrases that are read from the disk at a time. */
const READ_AT_ONCE = 64;
/** So many that are known are passed before the clock is looked at. */
const OFTEN = 256;

/** Facts of what was looked at in this window. */
const READ = new WeakMap<object, PhraseFacts>();

/** The facts of a phrase that were read in this window; null before. */
export function factsRead(one: object): PhraseFacts | null {
  return READ.get(one) ?? null;
}

/** Reads the facts of a list in slices, and begins each where the last one ended. */
export class FactsReader {
  private next = 0;
  private readonly found: PhraseFacts[] = [];
  private readonly fresh: KnownFacts[] = [];
  /** Phrases that were read from the disk for this; null for what could not be. */
  private given = new Map<string, Phrase | null>();

  /**
   * @param shelf What was read at an earlier opening.
   * @param clock Milliseconds that only go up.
   */
  constructor(
    private readonly stored: readonly Source[],
    private readonly shelf: Pick<FactsShelf, 'get'> | null = null,
    private readonly clock: () => number = () => performance.now(),
  ) {}

  /** How many of the list were looked at. */
  get done(): number {
    return this.next;
  }

  /** The facts so far, in the order of the list; a new list each time. */
  get facts(): readonly PhraseFacts[] {
    return [...this.found];
  }

  /** What was on no shelf, for the next opening; each once. */
  takeFresh(): readonly KnownFacts[] {
    return this.fresh.splice(0);
  }

  /** Reads for so many milliseconds. @returns whether all are read; see `wanted` where they are not. */
  readFor(milliseconds: number): boolean {
    const end = this.clock() + milliseconds;
    let looked = 0;
    for (; this.next < this.stored.length; this.next++) {
      const one = this.stored[this.next]!;
      const known = this.known(one);
      if ((known === null || ++looked % OFTEN === 0) && this.clock() > end) return false;
      if (known === null) {
        const phrase = this.phraseOf(one);
        if (phrase === undefined) return false;
        // It is damaged, which the library tells.
        if (phrase === null) continue;
        const facts = factsOf(phrase);
        this.fresh.push({ id: one.id, sum: one.sum, facts });
        READ.set(one, facts);
        this.found.push(facts);
      } else {
        READ.set(one, known);
        this.found.push(known);
      }
    }
    return true;
  }

  /** Ids of the next ones that have to be loaded before reading goes on; none where time was up. */
  wanted(): readonly string[] {
    const one = this.stored[this.next];
    if (one === undefined || this.known(one) !== null || this.phraseOf(one) !== undefined)
      return [];
    const ids: string[] = [];
    for (let at = this.next; at < this.stored.length && ids.length < READ_AT_ONCE; at++) {
      const next = this.stored[at]!;
      if (this.known(next) === null && this.phraseOf(next) === undefined) ids.push(next.id);
    }
    return ids;
  }

  /** What was asked for has come, or what there is of it. */
  give(ids: readonly string[], loaded: readonly Pick<StoredPhrase, 'id' | 'phrase'>[]): void {
    this.given = new Map<string, Phrase | null>(ids.map((id) => [id, null]));
    for (const { id, phrase } of loaded) this.given.set(id, phrase);
  }

  private known(one: Source): PhraseFacts | null {
    return READ.get(one) ?? this.shelf?.get(one.id, one.sum) ?? null;
  }

  /** Undefined for one that has to be loaded first. */
  private phraseOf(one: Source): Phrase | null | undefined {
    return one.peek() ?? this.given.get(one.id);
  }
}
