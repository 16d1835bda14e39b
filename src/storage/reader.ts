import { readyFor } from '../io/kinds/kind';
import { ChecksNotCome } from '../io/kinds/late-checks';
import type { Backend } from './backend';
import { pause } from './pieces';
import type { RawRecord } from './record';
import type { Revision } from './types';
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

/** Brings into the view what lies on the disk, in pieces; another window may be writing meanwhile. */
export class Reader {
  /** Everything up to this revision has been seen. */
  private upTo: Revision = 0;
  /** What is read on demand was not read on opening. */
  private far = false;

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

  /** Without a gap there is nothing of another window in between that is still to be seen. */
  wrote(revisions: readonly Revision[]): void {
    for (const r of [...revisions].sort((a, b) => a - b)) if (r === this.upTo + 1) this.upTo = r;
  }

  /** Reads what is there. */
  async load(current: () => boolean): Promise<void> {
    this.view.clear();
    const seen = await this.backend.sequence();
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
    this.upTo = seen;
    if (current()) await this.catchUp();
  }

  /** Takes what was written since the last look, and looks again at damaged records. */
  async catchUp(): Promise<void> {
    // Before looking: what is written meanwhile may be read in part, and is seen the next time.
    const upTo = await this.backend.sequence();
    await this.takeKeys(await this.backend.since(this.upTo));
    this.upTo = Math.max(this.upTo, upTo);
    const bad = this.view.snapshot().problems.map((p) => p.key);
    if (bad.length === 0) return;
    const still = await this.backend.read(bad);
    await this.takeInSlices(still);
    const there = new Set(still.map((r) => r.key));
    this.view.forget(bad.filter((k) => !there.has(k)));
  }

  /** Takes all records, whatever is known of them. */
  async takeAll(): Promise<void> {
    await this.takeKeys(await this.backend.keys());
  }

  /**
   * Reads things that are there, with their values: of those that are not at hand the records.
   * @returns whether anything had to be read.
   */
  async loadKeys(keys: readonly string[]): Promise<boolean> {
    const missing = keys.filter((key) => this.view.isFar(key));
    for (let at = 0; at < missing.length; at += CHUNK) {
      const some = missing.slice(at, at + CHUNK);
      const raws = await this.backend.read(some);
      await this.inSlices(raws, (few) => this.view.takeLoaded(few));
      if (raws.length < some.length) {
        const there = new Set(raws.map((r) => r.key));
        this.view.forget(some.filter((k) => !there.has(k)));
      }
    }
    return missing.length > 0;
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
