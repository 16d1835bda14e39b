import { factsIfKnown, factsOf } from '../../core/library/facts';
import type { StoredPhrase } from '../../storage/types';

/** Reads the facts of a list in slices, and begins each where the last one ended. */
export class FactsReader {
  private next = 0;

  /** @param clock Milliseconds that only go up. */
  constructor(
    private readonly stored: readonly Pick<StoredPhrase, 'phrase'>[],
    private readonly clock: () => number = () => performance.now(),
  ) {}

  /** How many of the list were looked at. */
  get done(): number {
    return this.next;
  }

  /** Reads for so many milliseconds. @returns whether all are read. */
  readFor(milliseconds: number): boolean {
    const end = this.clock() + milliseconds;
    for (; this.next < this.stored.length; this.next++) {
      const { phrase } = this.stored[this.next]!;
      if (factsIfKnown(phrase) !== null) continue;
      if (this.clock() > end) return false;
      factsOf(phrase);
    }
    return true;
  }
}
