import type { Problem } from '../core/result';
import type { AnyKind } from '../io/kinds/kind';
import type { Desk } from './at-rest';
import { type Backend, NotOpened, type Records, WriteRefused } from './backend';
import type { LibraryDeps } from './deps';
import type { FrontKeeper } from './front-keeper';
import { Notes } from './noted';
import { later, settle, within } from './patience';
import { type Held, Reader } from './reader';
import { BLOCKED, DELETED, failedToLoad, LOST, notWritten, OUTDATED } from './reasons';
import type { RawRecord } from './record';
import { isFull, withRoom } from './room';
import type { KnownFacts, LibraryState, PhraseEntry, Refusal } from './types';
import { View } from './view';
import type { Written } from './writes';

/** Milliseconds after which what was checked is noted, records are counted, all may be looked at, and earlier versions taken up. */
const SEAL_LATER = 2_000;
const COUNT_LATER = 2_000;
const LOOK_LATER = 20_000;
const NOTES_LATER = 1_500;

/**
 * A window's library on the disk: how it opens, hears of other windows, writes and closes. File whole at 358: one
 * machine of openings, of which every step asks what the others have come to.
 */
export class Connection {
  readonly view: View;
  private readonly reader: Reader;
  private readonly notes: Notes;
  private readonly hooks = new Set<() => Promise<void>>();
  private readonly pending = new Set<Promise<unknown>>();
  /** Counts the openings: what began under an earlier one no longer counts. */
  private opening = 0;
  private refreshing: Promise<void> | null = null;
  /** Earlier versions that may still wait in memory. */
  private behind = 0;
  private refreshAgain = false;
  private askedToPersist = false;
  private sealing = false;
  /** What keeps the beginning of a long list; comes when there is one. */
  private keeping: Promise<FrontKeeper> | null = null;

  constructor(
    private readonly backend: Backend,
    readonly deps: LibraryDeps,
    kinds: readonly AnyKind[],
  ) {
    this.view = new View(backend.lasting, kinds);
    this.reader = new Reader(backend, this.view);
    this.notes = new Notes(backend, deps.versions, kinds);
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
    const { state, front } = this.view.snapshot();
    // What is shown already may be worked with, too.
    if (state === 'opening' && front !== null)
      return this.track(this.opened().then(() => this.write(run)));
    if (state !== 'ready') return Promise.resolve({ kind: 'not ready', state });
    const now = this.deps.now();
    const written = withRoom(this.deps, () => this.notes.write(run, now)).then(
      async (done) => {
        this.take(done.changes);
        await this.keepVersions(done, now);
        return { value: done.value };
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
    await this.deps.versions?.close();
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
      await this.reader.load(current);
      const looked = await opened.compared;
      if (looked?.again === true && current()) await this.reader.load(current);
      if (!current()) return;
      const { front } = this.view.snapshot();
      this.view.publishRecords();
      this.view.setFront(this.reader.kept === null ? null : front);
      this.view.setMishap(looked?.mishap ?? opened.mishap);
      this.view.setState('ready');
    } catch (e) {
      if (!current()) return;
      this.backend.close();
      if (e instanceof NotOpened) this.view.setState(e.state, e.problem);
      else this.view.setState('failed', failedToLoad(e));
      return;
    }
    this.keeping = null;
    if (this.reader.onDemand) void this.keeper().catch(NOTHING);
    void this.track(this.askWhetherPersisted());
    this.rest();
  }

  /**
   * Reads things that are there, with their values: of those that are not at hand the records. What
   * turns out to be damaged, newer or gone is in the snapshot then.
   * @returns the values by key.
   */
  async loadKeys(keys: readonly string[]): Promise<Held> {
    const { state, front } = this.view.snapshot();
    // What is chosen of a list that is shown already is there once all of it is.
    if (state === 'opening' && front !== null) await this.opened();
    const { values, read } = await this.reader.loadKeys(keys);
    if (read) {
      this.view.publishRecords();
      this.sealSoon();
    }
    return values;
  }

  /** Reads all records anew, see `at-rest.ts`; its code comes when it is needed. */
  async lookThrough(): Promise<void> {
    await (await import('./at-rest')).lookThrough(this.desk(), 0);
  }

  /** Keeps what a list begins with; best effort. */
  keepFront(of: readonly PhraseEntry[], first: readonly KnownFacts[]): void {
    if (this.backend.lasting) void this.keeper().then((k) => k.give(of, first), NOTHING);
  }

  private keeper(): Promise<FrontKeeper> {
    const first = this.reader.kept?.first ?? null;
    const of = this.view.snapshot().phrases;
    this.keeping ??= import('./front-keeper').then(
      (m) => new m.FrontKeeper(this.desk(), of, first),
    );
    return this.keeping;
  }

  /**
   * What nobody waits for; its code comes when it is needed. A window that closes meanwhile, or has no
   * network: it is tried at the next opening.
   */
  private rest(): void {
    const work = this.atRest();
    const soon = (name: Parameters<typeof work>[0], wait: number) =>
      later(() => void work(name).catch(NOTHING), wait);
    if (this.view.removedKeys(() => true).length > 0) void this.track(work('purge')).catch(NOTHING);
    this.sealSoon();
    if (!this.backend.lasting) return;
    if (this.deps.versions !== undefined) soon('takeNoted', NOTES_LATER);
    if (!this.reader.onDemand) return;
    soon('count', COUNT_LATER);
    soon('tend', LOOK_LATER);
  }

  private atRest() {
    const desk = this.desk();
    return async (name: 'count' | 'tend' | 'sealAll' | 'purge' | 'takeNoted') => {
      if (desk.current()) await (await import('./at-rest'))[name](desk);
    };
  }

  /** What was checked when it was read, since no record said so, is noted a little later. */
  private sealSoon(): void {
    if (this.sealing || !this.backend.lasting || this.view.unsealed(1).length === 0) return;
    this.sealing = true;
    const work = this.atRest();
    const end = () => {
      this.sealing = false;
    };
    later(() => void work('sealAll').catch(NOTHING).finally(end), SEAL_LATER);
  }

  /** What work at rest is done with. */
  private desk(): Desk {
    const opening = this.opening;
    const { backend, view } = this;
    return {
      backend,
      view,
      versions: this.deps.versions,
      now: () => this.deps.now(),
      current: () => opening === this.opening,
      seen: () => this.reader.seen,
      caughtUp: async () => {
        await this.refresh();
        return this.reader.end;
      },
      rested: () => void this.keeping?.then((k) => k.soon(), NOTHING),
      inSlices: (raws, take) => this.reader.inSlices(raws, take),
      write: (run) => this.write(run),
    };
  }

  private async catchUpWhileAsked(): Promise<void> {
    do {
      this.refreshAgain = false;
      try {
        await this.reader.catchUp();
      } catch (e) {
        if (this.view.snapshot().state === 'ready') this.endBecause('failed', failedToLoad(e));
        return;
      }
      this.view.publishRecords();
    } while (this.refreshAgain && this.view.snapshot().state === 'ready');
  }

  private take(changes: Written<unknown>['changes']): void {
    if (changes.length === 0) return;
    this.view.takeChanges(changes, this.deps.now());
    const revisions = changes.flatMap((c) => {
      if (c.kind === 'gone') return [];
      if (c.kind === 'put') return [c.item.stored.revision];
      return [c.kind === 'restored' ? c.record.revision : c.revision];
    });
    this.reader.wrote(revisions);
    this.view.publishRecords();
    this.deps.channel?.tell();
  }

  /** Waits where many are not kept yet, but not for a browser that never answers. */
  private async keepVersions(done: Written<unknown>, now: number): Promise<void> {
    const some = this.notes.pastIn(done);
    const gone = done.changes.flatMap((c) => (c.kind === 'gone' ? c.key : []));
    const { versions } = this.deps;
    if (some.length > 0) versions?.replaced(some, now);
    if (gone.length > 0) versions?.forget(gone);
    this.behind += some.length;
    if (this.behind < MOST_BEHIND) return;
    this.behind = 0;
    if (versions !== undefined) await within(MOST_WAIT, versions.settled()).catch(NOTHING);
  }

  private async refusalOf(e: unknown): Promise<Refusal> {
    if (e instanceof WriteRefused) return e.refusal;
    const { state } = this.view.snapshot();
    if (state !== 'ready') return { kind: 'not ready', state };
    if (isFull(e)) return { kind: 'quota', ...(await this.deps.estimate()) };
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

  /** What came back when the library was open already. */
  private async takeRestored(phrases: number): Promise<void> {
    await this.reader.takeAll();
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

/** Earlier versions that may wait in memory before a write waits for them, and for how many milliseconds at most. */
const MOST_BEHIND = 512;
const MOST_WAIT = 10_000;
