import { type Compared, compare, type Reserved, reserve } from './compare';
import { type Read, samplesIn } from './copy-range';
import { within } from './patience';
import type { StoredRecord } from './record';
import type { Db } from './schema';
import { FULL, MANY, type SecondCopy, SLACK } from './second-copy';
import type { CopyState } from './types';

/** A second copy, and the word that lets one window at a time compare it with the database. */
export interface Safety {
  readonly copy: SecondCopy;
  alone<T>(work: () => Promise<T>): Promise<T>;
  readonly patience?: Patience;
  /** So many files may lie there before small ones are put together. */
  readonly many?: number;
}

/** Characters that may be added before the folder is looked through in the midst of writing. */
const MUCH = 64 * FULL;

/** How long anybody waits for the folder or for another window, in milliseconds. */
export interface Patience {
  /** The library opens without the comparison then. */
  readonly open: number;
  /** A save is acknowledged without its copy then, for each file of the usual size. */
  readonly write: number;
  /** After a failure it is tried again, later each time, up to the longest. */
  readonly again: number;
  readonly longest: number;
  /**
   * After the opening, and after the last of many writes: what somebody waits for is not held up by
   * tidying.
   */
  readonly rest: number;
}

export const PATIENCE: Patience = {
  open: 4_000,
  write: 5_000,
  again: 1_000,
  longest: 60_000,
  rest: 10_000,
};

export interface KeeperEvents {
  state(state: CopyState): void;
  /** The library was open already when phrases came back from the copy. */
  restored(phrases: number): void;
}

/**
 * Keeps the second copy in step with the database. Whatever fails or takes too long costs the safety
 * until it is made up for, and is told; it never keeps anybody from opening or saving.
 */
export class CopyKeeper {
  private readonly patience: Patience;
  private state: CopyState | null = null;
  /** Nothing is written to the folder before it was compared once. */
  private compared = false;
  /** Something was written that is not copied. */
  private behind = false;
  private reserved: Reserved | null = null;
  /** Ends when all that was written is copied, or waits for it no longer. */
  private copying: Promise<void> = Promise.resolve();
  private failures = 0;
  private retry: ReturnType<typeof setTimeout> | null = null;
  private trying = false;
  private tidying = false;
  /** More has grown since the folder was weighed. */
  private grown = false;
  /** Until the folder is looked through. */
  private resting: ReturnType<typeof setTimeout> | null = null;
  private rested = false;
  private closed = false;

  constructor(
    private readonly safety: Safety,
    private readonly db: () => Db,
    private readonly read: Read,
    private readonly events: KeeperEvents,
  ) {
    this.patience = safety.patience ?? PATIENCE;
  }

  /** Whether something is not copied, since the folder fails or does not answer. */
  get late(): boolean {
    return this.state === 'late';
  }

  /** @returns how many phrases the database got back; null where it got nothing, or nothing yet. */
  async open(): Promise<number | null> {
    const comparing = this.compare();
    try {
      const found = await within(this.patience.open, comparing);
      return found.kind === 'later' ? null : found.restored;
    } catch {
      this.reserved = await reserve(this.db());
      this.set('late');
      void this.goOn(comparing);
      return null;
    }
  }

  /**
   * Copies what a transaction has written; resolves when it is copied, or can wait no longer. Transactions
   * are acknowledged in their order, and the next may begin while one is copied.
   */
  copied(records: readonly StoredRecord[]): Promise<void> {
    const copy = () => this.copyOne(records);
    // Also after one that failed, which is no matter of the next.
    this.copying = this.copying.then(copy, copy);
    return this.copying;
  }

  private async copyOne(records: readonly StoredRecord[]): Promise<void> {
    if (records.length === 0 || this.state === 'missing') return;
    if (!this.compared || this.state === 'late') {
      this.behind = true;
      return;
    }
    try {
      const db = this.db();
      const samples = records.some((r) => r.sample) ? await samplesIn(db) : null;
      const size = records.reduce((sum, r) => sum + r.text.length, 0);
      const patience = this.patience.write * (1 + Math.floor(size / FULL));
      await within(patience, this.safety.copy.add({ records, samples }));
      this.tidySoon();
    } catch {
      this.behind = true;
      this.set('late');
      this.again();
    }
  }

  close(): void {
    this.closed = true;
    if (this.retry !== null) clearTimeout(this.retry);
    if (this.resting !== null) clearTimeout(this.resting);
  }

  private async compare(): Promise<Compared> {
    const { copy, alone } = this.safety;
    return alone(async () => {
      let found: Compared;
      do {
        this.behind = false;
        found = await compare(this.db(), this.read, copy, this.reserved);
        if (found.kind === 'later') {
          this.set('missing');
          return found;
        }
        if (!found.complete) {
          this.set('late');
          return found;
        }
        this.compared = true;
        // What was written while it compared is not copied by anybody else.
      } while (this.behind);
      this.reserved = null;
      this.failures = 0;
      this.set('whole');
      this.tidyLater();
      return found;
    });
  }

  /** What came too late for the opening. */
  private async goOn(comparing: Promise<Compared>): Promise<void> {
    this.trying = true;
    try {
      const found = await comparing;
      if (found.kind !== 'later' && found.restored !== null && !this.closed)
        this.events.restored(found.restored);
      this.trying = false;
    } catch {
      this.trying = false;
      this.again();
    }
  }

  private again(): void {
    if (this.closed || this.retry !== null || this.trying) return;
    const wait = Math.min(this.patience.longest, this.patience.again * 2 ** this.failures);
    this.failures += 1;
    this.retry = setTimeout(() => {
      this.retry = null;
      if (!this.closed) void this.goOn(this.compare());
    }, wait);
  }

  /** Once after the opening, for what earlier windows have left. */
  private tidyLater(): void {
    if (this.rested) return;
    this.rested = true;
    this.tidyAtRest();
  }

  private tidySoon(): void {
    const { files, size, before } = this.safety.copy.growth;
    const many = this.safety.many ?? MANY;
    if (files < many && size < SLACK) return;
    // Who writes without an end is held up now and then.
    if (size > Math.max(MUCH, before) || files > 4 * many) this.tidy();
    else this.tidyAtRest();
  }

  private tidyAtRest(): void {
    if (this.closed) return;
    if (this.resting !== null) clearTimeout(this.resting);
    this.resting = setTimeout(() => {
      this.resting = null;
      this.tidy();
    }, this.patience.rest);
  }

  private tidy(): void {
    if (this.closed) return;
    if (this.tidying) {
      this.grown = true;
      return;
    }
    this.tidying = true;
    this.grown = false;
    const { copy, alone, many } = this.safety;
    const go = () => !this.closed && this.state === 'whole';
    // Nobody waits for it, so it does not load with the library.
    void import('./tidy')
      .then((m) => m.tidy(this.db, this.read, copy, alone, go, many))
      // It is only larger than it might be, and will be looked at again.
      .catch(() => undefined)
      .finally(() => {
        this.tidying = false;
        if (this.grown) this.tidyAtRest();
      });
  }

  private set(state: CopyState): void {
    if (state === this.state) return;
    this.state = state;
    if (!this.closed) this.events.state(state);
  }
}
