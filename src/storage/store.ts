import type { Phrase } from '../core/phrase/types';
import type { Problem } from '../core/result';
import { type Backend, NotOpened, type Records, WriteRefused } from './backend';
import { textOf } from './record';
import type {
  LibraryState,
  LibraryStore,
  Refusal,
  RemoveResult,
  Revision,
  SaveAllResult,
  SaveItem,
  SaveResult,
} from './types';
import { View } from './view';
import {
  addPhrases,
  areConflicts,
  discardDamaged,
  isOver,
  type Prepared,
  purgeRemoved,
  removePhrases,
  restorePhrases,
  saveItems,
  seed,
  type Written,
} from './writes';

/** Word between the windows of one browser: something was written. */
export interface Channel {
  tell(): void;
  listen(heard: () => void): void;
  close(): void;
}

/** The browser's promise not to clear the library when space runs low. */
export interface Persistence {
  persisted(): Promise<boolean>;
  persist(): Promise<boolean>;
}

/** What the library takes from its surroundings. */
export interface LibraryDeps {
  /** Milliseconds since 1970. */
  now(): number;
  /** An id that no other phrase has. */
  newId(): string;
  readonly channel: Channel | null;
  readonly persistence: Persistence | null;
  /** Bytes used and allowed, or null where the browser does not tell. */
  estimate(): Promise<{ readonly usage: number | null; readonly quota: number | null }>;
}

/** Records read at a time while opening, some 20 ms of work, so that the page stays alive. */
const CHUNK = 32;
/** Progress is shown from so many records on. */
const SHOW_PROGRESS = 200;

/** A library over any keeper of records. It begins to open at once. */
export function createLibrary(backend: Backend, deps: LibraryDeps): LibraryStore {
  return new Library(backend, deps);
}

class Library implements LibraryStore {
  private readonly view: View;
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
    private readonly deps: LibraryDeps,
  ) {
    this.view = new View(backend.lasting);
    deps.channel?.listen(() => this.track(this.refresh()));
    void this.open();
  }

  snapshot = () => this.view.snapshot();
  subscribe = (listener: () => void) => this.view.subscribe(listener);

  onClosing(flush: () => Promise<void>): () => void {
    this.hooks.add(flush);
    return () => {
      this.hooks.delete(flush);
    };
  }

  opened(): Promise<LibraryState> {
    return new Promise((resolve) => {
      const look = () => {
        const { state } = this.snapshot();
        if (state === 'opening' || state === 'blocked') return;
        stop();
        resolve(state);
      };
      const stop = this.view.subscribe(look);
      look();
    });
  }

  async reopen(): Promise<LibraryState> {
    if (this.snapshot().state === 'failed') {
      this.backend.close();
      void this.open();
    }
    return this.opened();
  }

  async save(phrase: Phrase, base: Revision | null): Promise<SaveResult> {
    const result = await this.saveAll([{ phrase, base }]);
    if (result.kind === 'saved') return { kind: 'saved', stored: result.stored[0]! };
    if (result.kind === 'conflicts') return { kind: 'conflict', conflict: result.conflicts[0]! };
    return result;
  }

  async saveAll(items: readonly SaveItem[]): Promise<SaveAllResult> {
    if (new Set(items.map((i) => i.phrase.id)).size < items.length) {
      throw new RangeError('one phrase cannot be saved twice in one transaction');
    }
    const prepared = prepareAll(items.map((i) => i.phrase));
    if ('kind' in prepared) return prepared;
    const saves = prepared.map((p, i) => ({ ...p, base: items[i]!.base }));
    const result = await this.write((r) => saveItems(r, saves));
    if (isRefusal(result)) return result;
    if (areConflicts(result.value)) {
      // The page is to show what stands in the way before it hears of it.
      await this.refresh();
      return { kind: 'conflicts', conflicts: result.value };
    }
    this.askToPersist();
    return { kind: 'saved', stored: result.value };
  }

  async add(phrases: readonly Phrase[]) {
    const prepared = prepareAll(phrases);
    if ('kind' in prepared) return prepared;
    const result = await this.write((r) => addPhrases(r, prepared, (p) => this.copyOf(p)));
    if (isRefusal(result)) return result;
    this.askToPersist();
    return { kind: 'saved', added: result.value } as const;
  }

  remove(ids: readonly string[]): Promise<RemoveResult> {
    return this.change((r) => removePhrases(r, ids, this.deps.now()));
  }

  restore(ids: readonly string[]): Promise<RemoveResult> {
    return this.change((r) => restorePhrases(r, ids));
  }

  async seedSamples(phrases: readonly Phrase[]) {
    const prepared = prepareAll(phrases);
    if ('kind' in prepared) return prepared;
    const result = await this.write((r) => seed(r, prepared, this.deps.now()));
    if (isRefusal(result)) return result;
    if (result.value === null) return { kind: 'seeded before' } as const;
    return { kind: 'seeded', stored: result.value } as const;
  }

  removeSamples(): Promise<RemoveResult> {
    const ids = this.view.ids((s) => s.sample);
    return this.change((r) =>
      removePhrases(r, ids, this.deps.now(), (record) => record.sample === true),
    );
  }

  discard(keys: readonly string[]): Promise<RemoveResult> {
    const unreadable = new Set(keys.filter((k) => this.view.problem(k)?.kind === 'unreadable'));
    return this.change((r) => discardDamaged(r, keys, unreadable));
  }

  refresh(): Promise<void> {
    if (this.snapshot().state !== 'ready') return Promise.resolve();
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
      const { mishap } = await this.backend.open({
        blocked: () => current() && this.view.setState('blocked', BLOCKED),
        newer: () => void this.makeWay(),
        deleted: () => this.endBecause('failed', DELETED),
        lost: () => this.endBecause('failed', LOST),
      });
      if (!current()) return this.backend.close();
      this.view.setState('opening');
      await this.load(current);
      if (!current()) return;
      this.view.publishRecords();
      this.view.setMishap(mishap);
      this.view.setState('ready');
    } catch (e) {
      if (!current()) return;
      this.backend.close();
      if (e instanceof NotOpened) this.view.setState(e.state, e.problem);
      else this.view.setState('failed', failedToLoad(e));
      return;
    }
    // Best effort: what could not be cleared away now is cleared at the next opening.
    this.track(this.purge());
    this.track(this.askWhetherPersisted());
  }

  /** Reads everything, in pieces; another window may be writing meanwhile. */
  private async load(current: () => boolean): Promise<void> {
    this.view.clear();
    const seen = await this.backend.sequence();
    const keys = await this.backend.keys();
    for (let at = 0; at < keys.length && current(); at += CHUNK) {
      this.view.takeRecords(await this.backend.read(keys.slice(at, at + CHUNK)));
      if (keys.length >= SHOW_PROGRESS) {
        this.view.setProgress(Math.min(at + CHUNK, keys.length), keys.length);
      }
    }
    this.seen = seen;
    if (current()) await this.catchUp();
  }

  private async catchUpWhileAsked(): Promise<void> {
    do {
      this.refreshAgain = false;
      try {
        await this.catchUp();
      } catch (e) {
        if (this.snapshot().state === 'ready') this.endBecause('failed', failedToLoad(e));
        return;
      }
      this.view.publishRecords();
    } while (this.refreshAgain && this.snapshot().state === 'ready');
  }

  /** Takes what was written since the last look, and looks again at damaged records. */
  private async catchUp(): Promise<void> {
    const highest = this.view.takeRecords(await this.backend.since(this.seen));
    this.seen = Math.max(this.seen, highest);
    const bad = this.snapshot().problems.map((p) => p.key);
    if (bad.length === 0) return;
    const still = await this.backend.read(bad);
    this.view.takeRecords(still);
    const there = new Set(still.map((r) => r.key));
    this.view.forget(bad.filter((k) => !there.has(k)));
  }

  /** One transaction; the snapshot and the other windows hear of it when it is on the disk. */
  private write<T>(
    run: (records: Records) => Promise<Written<T>>,
  ): Promise<{ readonly value: T } | Refusal> {
    const { state } = this.snapshot();
    if (state !== 'ready') return Promise.resolve({ kind: 'not ready', state });
    const written = this.backend.write(run).then(
      ({ value, changes }) => {
        this.take(changes);
        return { value };
      },
      (e: unknown) => this.refusalOf(e),
    );
    this.track(written);
    return written;
  }

  private take(changes: Written<unknown>['changes']): void {
    if (changes.length === 0) return;
    this.view.takeChanges(changes, this.deps.now());
    const revisions = changes.flatMap((c) => {
      if (c.kind === 'gone') return [];
      return [c.kind === 'put' ? c.stored.revision : c.revision];
    });
    // Without a gap there is nothing of another window in between that is still to be seen.
    for (const r of revisions.sort((a, b) => a - b)) if (r === this.seen + 1) this.seen = r;
    this.view.publishRecords();
    this.deps.channel?.tell();
  }

  private async change(
    run: (records: Records) => Promise<Written<readonly string[]>>,
  ): Promise<RemoveResult> {
    const result = await this.write(run);
    return isRefusal(result) ? result : { kind: 'done', ids: result.value };
  }

  private async refusalOf(e: unknown): Promise<Refusal> {
    if (e instanceof WriteRefused) return e.refusal;
    const { state } = this.snapshot();
    if (state !== 'ready') return { kind: 'not ready', state };
    if (nameOf(e) === 'QuotaExceededError') {
      return { kind: 'quota', ...(await this.deps.estimate()) };
    }
    return {
      kind: 'failed',
      problem: {
        message: `the browser did not write it (${String(e)})`,
        fix: 'Try again; if it stays so, export what you want to keep.',
      },
    };
  }

  private copyOf(phrase: Phrase): Prepared {
    const copy: Phrase = { ...phrase, id: this.deps.newId(), parent: phrase.id };
    const text = textOf(copy);
    if (!text.ok) throw new Error('a copy of a valid phrase is valid');
    return { phrase: copy, text: text.value };
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

  private async purge(): Promise<void> {
    const now = this.deps.now();
    const ids = this.view.removedIds((removed) => isOver(removed, now));
    if (ids.length === 0) return;
    const result = await this.write((r) => purgeRemoved(r, ids, now));
    if (!isRefusal(result)) this.view.forget(result.value);
  }

  private async askWhetherPersisted(): Promise<void> {
    this.view.setPersisted(await settle(this.deps.persistence?.persisted()));
  }

  /** Asked once the user has something to lose, since some browsers show a question then. */
  private askToPersist(): void {
    if (this.askedToPersist || this.snapshot().persisted === true) return;
    this.askedToPersist = true;
    const asking = settle(this.deps.persistence?.persist());
    this.track(asking.then((granted) => this.view.setPersisted(granted)));
  }

  /** Keeps `close` waiting for it. */
  private track(work: Promise<unknown>): void {
    const done = work.finally(() => this.pending.delete(done));
    this.pending.add(done);
  }
}

/** Checks phrases before a transaction begins. */
function prepareAll(phrases: readonly Phrase[]): readonly Prepared[] | Refusal {
  const prepared: Prepared[] = [];
  for (const phrase of phrases) {
    const text = textOf(phrase);
    if (!text.ok) return { kind: 'invalid', id: phrase.id, problems: text.problems };
    prepared.push({ phrase, text: text.value });
  }
  return prepared;
}

function isRefusal<T>(result: { readonly value: T } | Refusal): result is Refusal {
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

const BLOCKED: Problem = {
  message: 'an older version of the program has the library open in another window',
  fix: 'Close the other windows of this program; this one goes on by itself.',
};
const OUTDATED: Problem = {
  message: 'a newer version of the program has opened the library in another window',
  fix: 'Reload this window; nothing is written from it until then.',
};
const DELETED: Problem = {
  message: 'the library was deleted outside of this window',
  fix: 'Export what you want to keep from this window before you close or reload it.',
};
const LOST: Problem = {
  message: 'the browser closed the library',
  fix: 'Open it again; if that fails, export what you want to keep and reload the window.',
};

function failedToLoad(e: unknown): Problem {
  return {
    message: `the library could not be read (${String(e)})`,
    fix: 'Nothing was changed. Close other windows of this program and try again.',
  };
}
