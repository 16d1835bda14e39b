import type { Turn } from '../../../core/plan/types';
import { TURNS } from '../../../io/kinds/kinds';
import type { LibraryStore, Stored } from '../../../storage/types';

/** Turns read at a time. */
const TOGETHER = 1024;

/** The turns of one log, as far as they were read; a turn that was read is not read again. */
export class LogReader {
  private readonly known = new Map<string, { readonly sum: number; readonly turn: Turn }>();

  private whole: { readonly of: readonly Stored<Turn>[]; readonly turns: readonly Turn[] } | null =
    null;

  constructor(
    private readonly store: LibraryStore,
    readonly log: string,
  ) {}

  /** All of them, in no order, if nothing has to be read for it; the same list while they are the same. */
  now(): readonly Turn[] | null {
    const of = this.entries();
    if (this.whole?.of === of) return this.whole.turns;
    const turns: Turn[] = [];
    for (const entry of of) {
      const turn = this.turnOf(entry);
      if (turn === null) return null;
      turns.push(turn);
    }
    this.whole = { of, turns };
    return turns;
  }

  /** What `now` was when all of them had been read last. */
  get before(): readonly Turn[] | null {
    return this.whole?.turns ?? null;
  }

  /**
   * Reads what was not read yet.
   * @param told How many of how many turns are read; where it returns false, it is stopped.
   */
  async read(told: (done: number, total: number) => boolean = () => true): Promise<void> {
    const all = this.entries();
    const missing = all.filter((e) => this.turnOf(e) === null).map((e) => e.id);
    // In the order of their keys, in which reading costs least.
    missing.sort();
    for (let at = 0; at < missing.length; at += TOGETHER) {
      if (!told(all.length - missing.length + at, all.length)) return;
      for (const stored of await this.store.of(TURNS).load(missing.slice(at, at + TOGETHER)))
        this.known.set(stored.id, { sum: stored.sum, turn: stored.value });
    }
  }

  private entries(): readonly Stored<Turn>[] {
    return this.store.of(TURNS).inGroup(this.log);
  }

  private turnOf(entry: Stored<Turn>): Turn | null {
    const known = this.known.get(entry.id);
    if (known?.sum === entry.sum) return known.turn;
    const turn = entry.peek();
    if (turn !== null) this.known.set(entry.id, { sum: entry.sum, turn });
    return turn;
  }
}
