import type { Problem } from '../core/result';
import { type AnyKind, readyFor } from '../io/kinds/kind';
import { ChecksNotCome } from '../io/kinds/late-checks';
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
/** Milliseconds after the opening, of reading ahead at a time, and between two times. */
const AHEAD_LATER = 1_500;
const AHEAD = 8;
const AHEAD_NEXT = 24;
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
    this.readAhead(0, AHEAD_LATER);
    this.sealLater(SEAL_LATER);
  }

  /**
   * Reads what is kept as text so far, a little at a time: whoever looks at all of it then does not
   * hold up the page.
   */
  private readAhead(from: number, wait: number): void {
    if (!this.backend.lasting) return;
    const opening = this.opening;
    later(() => {
      if (opening !== this.opening) return;
      const { phrases } = this.view.snapshot();
      const end = performance.now() + AHEAD;
      let at = from;
      // What a list holds is read in this order, whatever changes meanwhile.
      for (; at < phrases.length && performance.now() < end; at++) void phrases[at]?.phrase;
      if (at < phrases.length) this.readAhead(at, AHEAD_NEXT);
    }, wait);
  }

  /** What was checked once need not be checked at the next opening. Best effort, in the background. */
  private sealLater(wait: number): void {
    if (!this.backend.lasting) return;
    const opening = this.opening;
    later(async () => {
      if (opening !== this.opening) return;
      const some = this.view.unsealed().slice(0, SEALED);
      if (some.length === 0) return;
      const named = some.map(({ kind, key, stored }) => ({ kind, key, revision: stored.revision }));
      const result = await this.write((r) => sealRecords(r, named));
      if (isRefusal(result)) return;
      this.view.sealed(some);
      this.sealLater(SEAL_NEXT);
    }, wait);
  }

  /** Reads everything, in pieces; another window may be writing meanwhile. */
  private async load(current: () => boolean): Promise<void> {
    this.view.clear();
    const seen = await this.backend.sequence();
    const keys = await this.backend.keys();
    for (let at = 0; at < keys.length && current(); at += CHUNK) {
      await this.takeInSlices(await this.backend.read(keys.slice(at, at + CHUNK)));
      if (keys.length >= SHOW_PROGRESS) {
        this.view.setProgress(Math.min(at + CHUNK, keys.length), keys.length);
      }
    }
    this.seen = seen;
    if (current()) await this.catchUp();
  }

  private async takeInSlices(raws: readonly RawRecord[]): Promise<void> {
    let end = performance.now() + SLICE;
    for (let at = 0; at < raws.length; at += LOOKED) {
      if (performance.now() > end) {
        await pause();
        end = performance.now() + SLICE;
      }
      await this.takeRecords(raws.slice(at, at + LOOKED));
    }
  }

  /** What was not checked before is checked now, with checks that may have to be fetched first. */
  private async takeRecords(raws: readonly RawRecord[]): Promise<void> {
    try {
      this.view.takeRecords(raws);
    } catch (e) {
      if (!(e instanceof ChecksNotCome)) throw e;
      await readyFor(this.view.kinds);
      this.view.takeRecords(raws);
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
    await this.takeRecords(still);
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
