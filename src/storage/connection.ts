import type { Problem } from '../core/result';
import { type AnyKind, readyFor } from '../io/kinds/kind';
import { ChecksNotCome } from '../io/kinds/late-checks';
import type { Desk } from './at-rest';
import { type Backend, NotOpened, type Records, WriteRefused } from './backend';
import type { LibraryDeps } from './deps';
import { pause } from './pieces';
import { BLOCKED, DELETED, failedToLoad, LOST, notWritten, OUTDATED } from './reasons';
import type { RawRecord } from './record';
import type { LibraryState, Refusal, Revision } from './types';
import { View } from './view';
import { isOver, purgeRemoved, sealRecords, timeToPurge, type Written } from './writes';

/** Records read at a time. */
const CHUNK = 128;
/** So many are looked at before the clock is. */
const LOOKED = 8;
/** Milliseconds of work after which the page gets a chance to answer. */
const SLICE = 12;
/** So many records are noted as checked in a transaction. */
const SEALED = 64;
/** Milliseconds after the opening, and between two such transactions. */
const SEAL_LATER = 2_000;
const SEAL_NEXT = 200;
/** What is known of so many records is taken at a time. */
const HEADS = 2_000;
/** Milliseconds after the opening at which records are counted, and at which all may be looked at. */
const COUNT_LATER = 2_000;
const LOOK_LATER = 20_000;
/** So many are deleted for good in a transaction. */
const PURGED = 200;
/** Progress is shown from so many records on. */
const SHOW_PROGRESS = 200;

/** A window's library on the disk: how it opens, hears of other windows, writes and closes. */
export class Connection {
  readonly view: View;
  private readonly hooks = new Set<() => Promise<void>>();
  private readonly pending = new Set<Promise<unknown>>();
  /** Everything up to this revision has been seen. */
  private seen: Revision = 0;
  /** Counts the openings: what began under an earlier one no longer counts. */
  private opening = 0;
  private refreshing: Promise<void> | null = null;
  private refreshAgain = false;
  private askedToPersist = false;
  /** What is read on demand was not read on opening. */
  private onDemand = false;

  constructor(
    private readonly backend: Backend,
    readonly deps: LibraryDeps,
    kinds: readonly AnyKind[],
  ) {
    this.view = new View(backend.lasting, kinds);
    deps.channel?.listen(() => void this.track(this.refresh()));
    void this.open();
  }

  onClosing(flush: () => Promise<void>): () => void {
    this.hooks.add(flush);
    return () => {
      this.hooks.delete(flush);
    };
  }

  opened(): Promise<LibraryState> {
    return new Promise((resolve) => {
      const look = () => {
        const { state } = this.view.snapshot();
        if (state === 'opening' || state === 'blocked') return;
        stop();
        resolve(state);
      };
      const stop = this.view.subscribe(look);
      look();
    });
  }

  async reopen(): Promise<LibraryState> {
    if (this.view.snapshot().state === 'failed') {
      this.backend.close();
      void this.open();
    }
    return this.opened();
  }

  /** One transaction; the snapshot and the other windows hear of it when it is on the disk. */
  write<T>(
    run: (records: Records) => Promise<Written<T>>,
  ): Promise<{ readonly value: T } | Refusal> {
    const { state } = this.view.snapshot();
    if (state !== 'ready') return Promise.resolve({ kind: 'not ready', state });
    const written = this.backend.write(run).then(
      ({ value, changes }) => {
        this.take(changes);
        return { value };
      },
      (e: unknown) => this.refusalOf(e),
    );
    return this.track(written);
  }

  refresh(): Promise<void> {
    if (this.view.snapshot().state !== 'ready') return Promise.resolve();
    if (this.refreshing !== null) {
      // What is running may have looked before the write that is asked about.
      this.refreshAgain = true;
      return this.refreshing;
    }
    this.refreshing = this.catchUpWhileAsked().finally(() => {
      this.refreshing = null;
    });
    return this.refreshing;
  }

  /** Records as they are on the disk, whatever their state. */
  read(keys: readonly string[]): Promise<readonly RawRecord[]> {
    return this.backend.read(keys);
  }

  /** Asked once the user has something to lose, since some browsers show a question then. */
  askToPersist(): void {
    if (this.askedToPersist || this.view.snapshot().persisted === true) return;
    this.askedToPersist = true;
    const asking = settle(this.deps.persistence?.persist());
    void this.track(asking.then((granted) => this.view.setPersisted(granted)));
  }

  async close(): Promise<void> {
    await this.flush();
    while (this.pending.size > 0) await Promise.all(this.pending);
    this.opening++;
    this.backend.close();
    this.deps.channel?.close();
    this.view.setState('closed');
  }

  private async open(): Promise<void> {
    const mine = ++this.opening;
    const current = () => mine === this.opening;
    this.view.setState('opening');
    try {
      const opened = await this.backend.open({
        blocked: () => current() && this.view.setState('blocked', BLOCKED),
        // A window that was closed while it opened keeps nobody waiting, and stays closed.
        newer: () => (current() ? void this.makeWay() : this.backend.close()),
        deleted: () => current() && this.endBecause('failed', DELETED),
        lost: () => current() && this.endBecause('failed', LOST),
        copy: (state) => current() && this.view.setCopy(state),
        restored: (phrases) => void this.track(this.takeRestored(phrases)),
      });
      if (!current()) return this.backend.close();
      this.view.setState('opening');
      await this.load(current);
      const looked = await opened.compared;
      if (looked?.again === true && current()) await this.load(current);
      if (!current()) return;
      this.view.publishRecords();
      this.view.setMishap(looked?.mishap ?? opened.mishap);
      this.view.setState('ready');
    } catch (e) {
      if (!current()) return;
      this.backend.close();
      if (e instanceof NotOpened) this.view.setState(e.state, e.problem);
      else this.view.setState('failed', failedToLoad(e));
      return;
    }
    // Best effort: what could not be cleared away now is cleared at the next opening.
    void this.track(this.purge());
    void this.track(this.askWhetherPersisted());
    this.sealLater(SEAL_LATER);
    this.rest();
  }

  /**
   * Reads things that are there, with their values: of those that are not at hand the records. What
   * turns out to be damaged, newer or gone is in the snapshot then.
   */
  async loadKeys(keys: readonly string[]): Promise<void> {
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
    if (missing.length > 0) this.view.publishRecords();
  }

  /** Reads all records anew, see `at-rest.ts`; its code comes when it is needed. */
  async lookThrough(): Promise<void> {
    await (await import('./at-rest')).lookThrough(this.desk(), 0);
  }

  /** What nobody waits for, for a library of which not all was read on opening. */
  private rest(): void {
    if (!this.backend.lasting || !this.onDemand) return;
    const desk = this.desk();
    const work = async (name: 'count' | 'tend') => {
      if (desk.current()) await (await import('./at-rest'))[name](desk);
    };
    // A window that closes meanwhile, or has no network: it is tried at the next opening.
    later(() => void work('count').catch(NOTHING), COUNT_LATER);
    later(() => void work('tend').catch(NOTHING), LOOK_LATER);
  }

  /** What work at rest is done with. */
  private desk(): Desk {
    const opening = this.opening;
    const { backend, view } = this;
    return {
      backend,
      view,
      now: () => this.deps.now(),
      current: () => opening === this.opening,
      seen: () => this.seen,
      inSlices: (raws, take) => this.inSlices(raws, take),
      write: (run) => this.write(run),
    };
  }

  /** What was checked once need not be checked at the next opening. Best effort, in the background. */
  private sealLater(wait: number): void {
    if (!this.backend.lasting) return;
    const opening = this.opening;
    later(async () => {
      if (opening !== this.opening) return;
      const some = this.view.unsealed(SEALED);
      if (some.length === 0) return;
      const named = some.map(({ kind, key, stored: { revision, identity } }) => {
        return { kind, key, revision, identity };
      });
      const result = await this.write((r) => sealRecords(r, named));
      if (isRefusal(result)) return;
      this.view.sealed(some);
      this.sealLater(SEAL_NEXT);
    }, wait);
  }

  /** Reads what is there, in pieces; another window may be writing meanwhile. */
  private async load(current: () => boolean): Promise<void> {
    this.view.clear();
    const seen = await this.backend.sequence();
    const progress = (done: number, total: number) => {
      if (current() && total >= SHOW_PROGRESS) this.view.setProgress(done, total);
    };
    const heads = (await this.backend.heads?.(this.view.kinds, progress)) ?? null;
    this.onDemand = heads !== null;
    let keys: readonly string[];
    if (heads === null) keys = await this.backend.keys();
    else {
      const found: string[] = [];
      for (let at = 0; at < heads.length && current(); at += HEADS) {
        found.push(...this.view.takeHeads(heads.slice(at, at + HEADS)));
        await pause();
      }
      keys = found.sort();
    }
    for (let at = 0; at < keys.length && current(); at += CHUNK) {
      await this.takeInSlices(await this.backend.read(keys.slice(at, at + CHUNK)));
      progress(Math.min(at + CHUNK, keys.length), keys.length);
    }
    this.seen = seen;
    if (current()) await this.catchUp();
  }

  private takeInSlices(raws: readonly RawRecord[]): Promise<void> {
    return this.inSlices(raws, (some) => void this.view.takeRecords(some));
  }

  /** What was not checked before is checked now, with checks that may have to be fetched first. */
  private async inSlices(
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

  private async catchUpWhileAsked(): Promise<void> {
    do {
      this.refreshAgain = false;
      try {
        await this.catchUp();
      } catch (e) {
        if (this.view.snapshot().state === 'ready') this.endBecause('failed', failedToLoad(e));
        return;
      }
      this.view.publishRecords();
    } while (this.refreshAgain && this.view.snapshot().state === 'ready');
  }

  /** Takes what was written since the last look, and looks again at damaged records. */
  private async catchUp(): Promise<void> {
    // Before looking: what is written meanwhile may be read in part, and is seen the next time.
    const upTo = await this.backend.sequence();
    const keys = await this.backend.since(this.seen);
    for (let at = 0; at < keys.length; at += CHUNK) {
      await this.takeInSlices(await this.backend.read(keys.slice(at, at + CHUNK)));
    }
    this.seen = Math.max(this.seen, upTo);
    const bad = this.view.snapshot().problems.map((p) => p.key);
    if (bad.length === 0) return;
    const still = await this.backend.read(bad);
    await this.takeInSlices(still);
    const there = new Set(still.map((r) => r.key));
    this.view.forget(bad.filter((k) => !there.has(k)));
  }

  private take(changes: Written<unknown>['changes']): void {
    if (changes.length === 0) return;
    this.view.takeChanges(changes, this.deps.now());
    const revisions = changes.flatMap((c) => {
      if (c.kind === 'gone') return [];
      if (c.kind === 'put') return [c.item.stored.revision];
      return [c.kind === 'restored' ? c.record.revision : c.revision];
    });
    // Without a gap there is nothing of another window in between that is still to be seen.
    for (const r of revisions.sort((a, b) => a - b)) if (r === this.seen + 1) this.seen = r;
    this.view.publishRecords();
    this.deps.channel?.tell();
  }

  private async refusalOf(e: unknown): Promise<Refusal> {
    if (e instanceof WriteRefused) return e.refusal;
    const { state } = this.view.snapshot();
    if (state !== 'ready') return { kind: 'not ready', state };
    if (nameOf(e) === 'QuotaExceededError') {
      return { kind: 'quota', ...(await this.deps.estimate()) };
    }
    return { kind: 'failed', problem: notWritten(e) };
  }

  /** Writes what waits in the form this program knows, then lets the newer one change it. */
  private async makeWay(): Promise<void> {
    await this.flush();
    this.endBecause('outdated', OUTDATED);
  }

  private async flush(): Promise<void> {
    await Promise.allSettled([...this.hooks].map((h) => h()));
  }

  private endBecause(state: 'outdated' | 'failed', reason: Problem): void {
    this.opening++;
    this.view.setState(state, reason);
    this.backend.close();
  }

  /** Deletes what was removed long ago, a piece at a time; see `timeToPurge`. */
  private async purge(): Promise<void> {
    const now = this.deps.now();
    if (this.view.removedKeys(() => true).length === 0) return;
    const over = this.view.removedKeys((removed) => isOver(removed, now)).length > 0;
    const since = await this.write(async (r) => ({
      value: await timeToPurge(r, now, over),
      changes: [],
    }));
    if (isRefusal(since) || since.value === null) return;
    const then = since.value;
    const keys = this.view.removedKeys((removed) => isOver(removed, then));
    for (let at = 0; at < keys.length; at += PURGED) {
      const result = await this.write((r) => purgeRemoved(r, keys.slice(at, at + PURGED), then));
      if (isRefusal(result)) return;
      this.view.forget(result.value);
    }
  }

  /** What came back when the library was open already. */
  private async takeRestored(phrases: number): Promise<void> {
    const keys = await this.backend.keys();
    for (let at = 0; at < keys.length; at += CHUNK) {
      await this.takeInSlices(await this.backend.read(keys.slice(at, at + CHUNK)));
    }
    this.view.publishRecords();
    this.view.setMishap({ kind: 'restored', phrases });
    this.deps.channel?.tell();
  }

  private async askWhetherPersisted(): Promise<void> {
    this.view.setPersisted(await settle(this.deps.persistence?.persisted()));
  }

  /** Keeps `close` waiting for it. */
  track<T>(work: Promise<T>): Promise<T> {
    const done = work.then(NOTHING, NOTHING).finally(() => this.pending.delete(done));
    this.pending.add(done);
    return work;
  }
}

const NOTHING = () => undefined;

/** Does something that nobody waits for, a process that ends least of all. */
function later(work: () => void, wait: number): void {
  const timer: unknown = setTimeout(work, wait);
  if (typeof timer === 'object' && timer !== null && 'unref' in timer) Object(timer).unref();
}

export function isRefusal<T>(result: { readonly value: T } | Refusal): result is Refusal {
  return 'kind' in result;
}

/** The answer of a browser that may also refuse to answer: null then. */
async function settle(answer: Promise<boolean> | undefined): Promise<boolean | null> {
  try {
    return (await answer) ?? null;
  } catch {
    return null;
  }
}

function nameOf(e: unknown): string {
  return typeof e === 'object' && e !== null && 'name' in e ? String(e.name) : '';
}
