import type { Phrase } from '../core/phrase/types';
import { readyFor } from '../io/kinds/kind';
import { ChecksNotCome } from '../io/kinds/late-checks';
import { phraseEntry } from './as-phrase';
import type { Backend, ReadFront } from './backend';
import { type LogEnd, NO_LOG } from './head';
import { pause } from './pieces';
import type { RawRecord } from './record';
import type { Front, Revision, Stored } from './types';
import type { View } from './view';

/** Records read at a time. */
const CHUNK = 128;
/** So many are looked at before the clock is. */
const LOOKED = 8;
/** Milliseconds of work after which the page gets a chance to answer. */
const SLICE = 12;
/** What is known of so many records is taken at a time. */
const HEADS = 256;
/** Progress is shown from so many records on. */
const SHOW_PROGRESS = 200;

/** Values by key, with the numbers that stand for them. */
export type Held = ReadonlyMap<string, { readonly sum: number; readonly value: unknown }>;

/** Brings into the view what lies on the disk, in pieces; another window may be writing meanwhile. */
export class Reader {
  /** Everything up to this revision has been seen. */
  private upTo: Revision = 0;
  /** What is read on demand was not read on opening. */
  private far = false;
  /** Everything that was deleted before the log of heads ended here has been seen. */
  private logEnd = NO_LOG;
  private read: ReadFront | null = null;

  constructor(
    private readonly backend: Backend,
    private readonly view: View,
  ) {}

  get seen(): Revision {
    return this.upTo;
  }

  /** Whether the library is one of which not all was read on opening. */
  get onDemand(): boolean {
    return this.far;
  }

  get end(): LogEnd {
    return this.logEnd;
  }

  /** How a long list begins, as it was kept; null where anything was written since. */
  get kept(): ReadFront | null {
    return this.read?.end.row === this.logEnd.row ? this.read : null;
  }

  /** Without a gap there is nothing of another window in between that is still to be seen. */
  wrote(revisions: readonly Revision[]): void {
    for (const r of [...revisions].sort((a, b) => a - b)) if (r === this.upTo + 1) this.upTo = r;
  }

  /** Reads what is there. */
  async load(current: () => boolean): Promise<void> {
    this.view.clear();
    const seen = await this.backend.sequence();
    this.logEnd = (await this.backend.logEnd?.()) ?? NO_LOG;
    await this.readFront(current);
    const progress = (done: number, total: number) => {
      if (current() && total >= SHOW_PROGRESS) this.view.setProgress(done, total);
    };
    const heads = (await this.backend.heads?.(this.view.kinds, progress)) ?? null;
    this.far = heads !== null;
    let keys: readonly string[];
    if (heads === null) keys = await this.backend.keys();
    else {
      const found: string[] = [];
      let end = performance.now() + SLICE;
      for (let at = 0; at < heads.length && current(); at += HEADS) {
        found.push(...this.view.takeHeads(heads.slice(at, at + HEADS)));
        if (performance.now() < end) continue;
        await pause();
        end = performance.now() + SLICE;
      }
      keys = found.sort();
    }
    for (let at = 0; at < keys.length && current(); at += CHUNK) {
      await this.takeInSlices(await this.backend.read(keys.slice(at, at + CHUNK)));
      progress(Math.min(at + CHUNK, keys.length), keys.length);
    }
    if (this.read !== null) this.view.takeAhead(this.read.items);
    this.upTo = seen;
    if (current()) await this.catchUp();
  }

  /** Takes what was written since the last look, and looks again at damaged records. */
  async catchUp(): Promise<void> {
    // Before looking: what is written meanwhile may be read in part, and is seen the next time.
    const upTo = await this.backend.sequence();
    await this.forgetDeleted();
    await this.takeKeys(await this.backend.since(this.upTo));
    this.upTo = Math.max(this.upTo, upTo);
    const bad = this.view.snapshot().problems.map((p) => p.key);
    if (bad.length === 0) return;
    const still = await this.backend.read(bad);
    await this.takeInSlices(still);
    const there = new Set(still.map((r) => r.key));
    this.view.forget(bad.filter((k) => !there.has(k)));
  }

  /** Shows the beginning of a long list before the rest is read. */
  private async readFront(current: () => boolean): Promise<void> {
    // What goes wrong with it costs time, never the opening.
    this.read = (await this.backend.front?.().catch(() => null)) ?? null;
    if (current()) this.view.setFront(this.read === null ? null : frontOf(this.read));
  }

  /** What another window deleted leaves no record behind that would say so. */
  private async forgetDeleted(): Promise<void> {
    const end = await this.backend.logEnd?.();
    if (end === undefined || end.row === this.logEnd.row) return;
    const deleted = (await this.backend.deleted?.(this.logEnd, end)) ?? null;
    if (deleted === null) {
      // Looked for again with the next news; until then nothing is said of where the log ends.
      this.read = null;
      return;
    }
    const keys = deleted.filter((k) => this.view.knows(k));
    if (keys.length > 0) {
      // Right after they were looked for, or what was written again meanwhile would go.
      const still = new Set((await this.backend.read(keys)).map((r) => r.key));
      this.view.forget(keys.filter((k) => !still.has(k)));
    }
    this.logEnd = end;
  }

  /** Takes all records, whatever is known of them. */
  async takeAll(): Promise<void> {
    await this.takeKeys(await this.backend.keys());
  }

  /**
   * Reads things that are there: of those that are not at hand the records.
   * @returns their values, by key, held until somebody has them: more than are kept at hand may be asked
   * for, and what is not held may go while the rest is read. And whether anything had to be read.
   */
  async loadKeys(
    keys: readonly string[],
  ): Promise<{ readonly values: Held; readonly read: boolean }> {
    const values = new Map<string, { readonly sum: number; readonly value: unknown }>();
    const hold = (some: readonly string[]) => {
      for (const key of some) {
        const stored = this.view.stored(key);
        const value = stored?.peek() ?? null;
        if (stored !== null && value !== null) values.set(key, { sum: stored.sum, value });
      }
    };
    hold(keys);
    const missing = keys.filter((key) => !values.has(key) && this.view.isFar(key));
    for (let at = 0; at < missing.length; at += CHUNK) {
      const some = missing.slice(at, at + CHUNK);
      const raws = await this.backend.read(some);
      await this.inSlices(raws, (few) => {
        this.view.takeLoaded(few);
        hold(few.map((raw) => raw.key));
      });
      if (raws.length < some.length) {
        const there = new Set(raws.map((r) => r.key));
        this.view.forget(some.filter((k) => !there.has(k)));
      }
    }
    return { values, read: missing.length > 0 };
  }

  /** What was not checked before is checked now, with checks that may have to be fetched first. */
  async inSlices(
    raws: readonly RawRecord[],
    take: (some: readonly RawRecord[]) => void,
  ): Promise<void> {
    let end = performance.now() + SLICE;
    for (let at = 0; at < raws.length; at += LOOKED) {
      if (performance.now() > end) {
        await pause();
        end = performance.now() + SLICE;
      }
      const some = raws.slice(at, at + LOOKED);
      try {
        take(some);
      } catch (e) {
        if (!(e instanceof ChecksNotCome)) throw e;
        await readyFor(this.view.kinds);
        take(some);
      }
    }
  }

  private async takeKeys(keys: readonly string[]): Promise<void> {
    for (let at = 0; at < keys.length; at += CHUNK)
      await this.takeInSlices(await this.backend.read(keys.slice(at, at + CHUNK)));
  }

  private takeInSlices(raws: readonly RawRecord[]): Promise<void> {
    return this.inSlices(raws, (some) => void this.view.takeRecords(some));
  }
}

function frontOf({ total, items, first }: ReadFront): Front {
  return {
    total,
    // Those of a list are phrases.
    phrases: items.map(({ stored }) => phraseEntry(stored as Stored<Phrase>)),
    facts: first.map((f) => f.facts),
  };
}
