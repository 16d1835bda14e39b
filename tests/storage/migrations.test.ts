import { readFileSync } from 'node:fs';
import path from 'node:path';
import { IDBFactory } from 'fake-indexeddb';
import { describe, expect, it } from 'vitest';
import { decodePhrase } from '../../src/io/json';
import { DATABASE, newestVersion, UPGRADES } from '../../src/storage/schema';
import { freshBrowser, storedIn, titles } from './support';

/*
 * The database as released programs left it. The files are never changed and must open for ever; a
 * new version adds its own.
 */

interface Frozen {
  readonly name: string;
  readonly version: number;
  readonly stores: Readonly<Record<string, FrozenStore>>;
}
interface FrozenStore {
  readonly keyPath: string | null;
  readonly autoIncrement: boolean;
  readonly indexes: Readonly<
    Record<string, { keyPath: string; unique: boolean; multiEntry: boolean }>
  >;
  readonly records: readonly { readonly key: string; readonly value: unknown }[];
}

const box = freshBrowser();

function frozen(version: number): Frozen {
  const file = path.join(import.meta.dirname, '../migrations', `storage-v${version}.json`);
  return JSON.parse(readFileSync(file, 'utf8'));
}

/** Makes the database without any code of the program. */
function thaw({ name, version, stores }: Frozen): Promise<void> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, version);
    request.onerror = () => reject(request.error);
    request.onupgradeneeded = () => {
      for (const [store, s] of Object.entries(stores)) {
        const { keyPath, autoIncrement } = s;
        const made = request.result.createObjectStore(store, { keyPath, autoIncrement });
        for (const [index, i] of Object.entries(s.indexes)) made.createIndex(index, i.keyPath, i);
        for (const r of s.records) {
          if (keyPath === null) made.put(r.value, r.key);
          else made.put(r.value);
        }
      }
    };
    request.onsuccess = () => {
      request.result.close();
      resolve();
    };
  });
}

/** What a database looks like, without its records. */
function shapeOf(name: string): Promise<unknown> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name);
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const db = request.result;
      const tx = db.transaction([...db.objectStoreNames]);
      const stores = [...db.objectStoreNames].map((n) => {
        const s = tx.objectStore(n);
        const indexes = [...s.indexNames].map((i) => [i, s.index(i).keyPath, s.index(i).unique]);
        return [n, s.keyPath, s.autoIncrement, indexes];
      });
      resolve({ version: db.version, stores });
      db.close();
    };
  });
}

describe('the database of version 1', () => {
  it('opens and means what it meant', async () => {
    await thaw(frozen(1));
    const store = await box.browser.ready();
    expect(store.snapshot().problems).toEqual([]);
    expect(titles(store)).toEqual({
      'frozen-1': 'Frozen <2> & "more" ♭',
      'sample-1': 'Sample as it came',
    });
    const alone = decodePhrase(
      readFileSync(path.join(import.meta.dirname, '../migrations', 'phrase-v1.json'), 'utf8'),
    );
    if (!alone.ok) throw new Error('the frozen phrase must open');
    const { phrase, revision, sample } = storedIn(store, 'frozen-1');
    expect({ ...phrase, meta: null }).toEqual({ ...alone.value, meta: null });
    expect([revision, sample]).toEqual([3, false]);
    expect(storedIn(store, 'sample-1').sample).toBe(true);
    expect(await store.seedSamples([])).toEqual({ kind: 'seeded before' });
    expect(await store.restore(['frozen-2'])).toEqual({ kind: 'done', ids: ['frozen-2'] });
    expect(storedIn(store, 'frozen-2').revision).toBe(6);
  });
});

describe('every version', () => {
  it.each(UPGRADES.map((u) => u.to))(
    '%i has its frozen file, and leads to the same database',
    async (version) => {
      const file = frozen(version);
      expect(file).toMatchObject({ name: DATABASE, version });
      await (await box.browser.ready()).close();
      const fresh = await shapeOf(DATABASE);
      globalThis.indexedDB = new IDBFactory();
      await thaw(file);
      await (await box.browser.ready()).close();
      expect(await shapeOf(DATABASE)).toEqual(fresh);
      expect(fresh).toMatchObject({ version: newestVersion(UPGRADES) });
    },
  );
});
