import type { BandNote } from '../../sound/capture/without-band';

/** So many answers are remembered: a time that is kept was played to one of the last. */
const ROUNDS = 8;

/** What bands play, by the number it was asked for: what is kept was not always played to the last answer. */
export class Rounds {
  private readonly notes = new Map<number, readonly BandNote[]>();

  add(ask: number, notes: readonly BandNote[]): void {
    this.notes.set(ask, notes);
    for (const old of this.notes.keys()) {
      if (this.notes.size <= ROUNDS) break;
      this.notes.delete(old);
    }
  }

  /** None for a click. */
  of(ask: number): readonly BandNote[] {
    return this.notes.get(ask) ?? [];
  }
}
