import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, expect } from 'vitest';
import type { Phrase } from '../../src/core/phrase/types';
import { KINDS } from '../../src/io/kinds/kinds';
import type { Backend } from '../../src/storage/backend';
import type { Channel, LibraryDeps, Persistence } from '../../src/storage/deps';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES, type Upgrade } from '../../src/storage/schema';
import { createLibrary } from '../../src/storage/store';
import type { LibraryStore, StoredPhrase } from '../../src/storage/types';
import type { VersionKeeper } from '../../src/storage/versions';

export { phraseNamed } from '../support/phrase-named';

/** The test's own 'now', 2026-03-01. */
export const NOW = Date.UTC(2026, 2, 1);

/** Several windows of one browser: one database, and word between them. */
export class Browser {
  now = NOW;
  upgrades: readonly Upgrade[] = UPGRADES;
  persistence: Persistence | null = null;
  versions: VersionKeeper | null = null;
  estimate: LibraryDeps['estimate'] = async () => ({ usage: null, quota: null });
  makeRoom: NonNullable<LibraryDeps['makeRoom']> = async () => false;
  /** Switched off, windows hear nothing of each other. */
  talking = true;
  private ids = 0;
  private readonly ears = new Set<() => void>();
  private readonly open: LibraryStore[] = [];

  /** Opens a window; it is closed at the end of the test. */
  window(
    upgrades = this.upgrades,
    backend: Backend = idbBackend(DATABASE, upgrades),
    kinds = KINDS,
  ): LibraryStore {
    const deps: LibraryDeps = {
      now: () => this.now,
      newId: () => `new-${++this.ids}`,
      channel: this.channel(),
      persistence: this.persistence,
      ...(this.versions !== null && { versions: this.versions }),
      estimate: () => this.estimate(),
      makeRoom: () => this.makeRoom(),
    };
    const store = createLibrary(backend, deps, kinds);
    this.open.push(store);
    return store;
  }

  async ready(upgrades = this.upgrades): Promise<LibraryStore> {
    const store = this.window(upgrades);
    expect(await store.opened()).toBe('ready');
    return store;
  }

  async close(): Promise<void> {
    await Promise.all(this.open.map((s) => s.close()));
  }

  private channel(): Channel {
    let mine: (() => void) | null = null;
    return {
      tell: () => {
        if (!this.talking) return;
        for (const ear of this.ears) if (ear !== mine) setTimeout(ear, 0);
      },
      listen: (heard) => {
        mine = heard;
        this.ears.add(heard);
      },
      close: () => {
        if (mine !== null) this.ears.delete(mine);
      },
    };
  }
}

/** A new browser with an empty database for each test. */
export function freshBrowser(): { readonly browser: Browser } {
  const box = { browser: new Browser() };
  beforeEach(() => {
    globalThis.indexedDB = new IDBFactory();
    box.browser = new Browser();
  });
  afterEach(() => box.browser.close());
  return box;
}

/** Titles by id. */
export function titles(store: LibraryStore): Readonly<Record<string, string>> {
  return Object.fromEntries(
    [...store.snapshot().phrases]
      .sort((a, b) => (a.id < b.id ? -1 : 1))
      .map((s) => [s.id, s.peek()?.meta.title ?? s.identity.title]),
  );
}

export function storedIn(store: LibraryStore, id: string): StoredPhrase {
  const found = store.phrase(id);
  const phrase = found?.peek() ?? null;
  if (found === null || phrase === null) throw new Error(`no phrase ${id}`);
  const { sum, identity, revision, sample } = found;
  return { id, sum, identity, revision, sample, phrase, peek: () => phrase };
}

/** Saves, expecting success. */
export async function saved(
  store: LibraryStore,
  phrase: Phrase,
  base: number | null,
): Promise<StoredPhrase> {
  const result = await store.save(phrase, base);
  if (result.kind !== 'saved') throw new Error(JSON.stringify(result));
  return result.stored;
}

/** Resolves when the snapshot satisfies `test`. */
export function until(store: LibraryStore, test: () => boolean): Promise<void> {
  return new Promise((resolve) => {
    const look = () => {
      if (!test()) return;
      stop();
      resolve();
    };
    const stop = store.subscribe(look);
    look();
  });
}

/** The database without the program: what is on the disk. */
export async function rawDatabase<T>(
  mode: IDBTransactionMode,
  run: (records: IDBObjectStore, meta: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  const db = await promised(indexedDB.open(DATABASE));
  const tx = db.transaction(['records', 'meta'], mode);
  const result = await promised(run(tx.objectStore('records'), tx.objectStore('meta')));
  db.close();
  return result;
}

export function promised<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
