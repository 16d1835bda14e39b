import { factsOf, type PhraseFacts } from '../../core/library/facts';
import type { FactsShelf, KnownFacts } from '../../storage/facts-shelf';
import type { StoredPhrase } from '../../storage/types';

type Source = Pick<StoredPhrase, 'id' | 'sum' | 'phrase'>;

/** Facts of what was looked at in this window. */
const READ = new WeakMap<Source, PhraseFacts>();

/** Reads the facts of a list in slices, and begins each where the last one ended. */
export class FactsReader {
  private next = 0;
  private readonly found: PhraseFacts[] = [];
  private readonly fresh: KnownFacts[] = [];

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

  /** Reads for so many milliseconds. @returns whether all are read. */
  readFor(milliseconds: number): boolean {
    const end = this.clock() + milliseconds;
    for (; this.next < this.stored.length; this.next++) {
      const one = this.stored[this.next]!;
      const known = READ.get(one) ?? this.shelf?.get(one.id, one.sum) ?? null;
      if (known === null && this.clock() > end) return false;
      const facts = known ?? factsOf(one.phrase);
      if (known === null) this.fresh.push({ id: one.id, sum: one.sum, facts });
      READ.set(one, facts);
      this.found.push(facts);
    }
    return true;
  }
}
