import { type IDBDatabase as FDBDatabase, forceCloseDatabase } from 'fake-indexeddb';
import { describe, expect, it, vi } from 'vitest';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, newestVersion, UPGRADES, type Upgrade } from '../../src/storage/schema';
import {
  freshBrowser,
  phraseNamed,
  promised,
  rawDatabase,
  saved,
  storedIn,
  titles,
  until,
} from './support';

const box = freshBrowser();

/** What a next version could be. */
const NEXT: readonly Upgrade[] = [
  ...UPGRADES,
  {
    to: newestVersion(UPGRADES) + 1,
    change: 'a title is written twice',
    async upgrade(_, tx) {
      await tx.objectStore('meta').put('upgraded', 'samples');
    },
  },
];

describe('opening', () => {
  it('begins at once, loads, and only then is ready for writing', async () => {
    const first = await box.browser.ready();
    await saved(first, phraseNamed('a', 'Quay'), null);
    const store = box.browser.window();
    expect(store.snapshot()).toMatchObject({ state: 'opening', phrases: [], reason: null });
    expect(await store.save(phraseNamed('b', 'Jetty'), null)).toEqual({
      kind: 'not ready',
      state: 'opening',
    });
    const states: string[] = [];
    store.subscribe(() => {
      const { state, phrases } = store.snapshot();
      states.push(`${state} ${phrases.length}`);
    });
    await store.opened();
    expect(states).toEqual(['opening 1', 'ready 1']);
    expect(await rawDatabase('readonly', (p) => p.getAllKeys())).toEqual(['a']);
  });

  it('shows how far it has come with a large library', async () => {
    const first = await box.browser.ready();
    const many = Array.from({ length: 230 }, (_, i) => phraseNamed(`p${i}`, `Number ${i}`));
    await first.add(many);
    const store = box.browser.window();
    const shown: string[] = [];
    store.subscribe(() => {
      const p = store.snapshot().progress;
      if (p !== null) shown.push(`${p.done}/${p.total}`);
    });
    await store.opened();
    expect(new Set(shown)).toEqual(new Set([128, 230].map((n) => `${n}/230`)));
    expect(store.snapshot().progress).toBeNull();
    expect(titles(store)).toEqual(titles(first));
  });

  it('sees what another window writes while it loads', async () => {
    const first = await box.browser.ready();
    await first.add(
      Array.from({ length: 200 }, (_, i) => phraseNamed(`p${i + 10}`, `Number ${i}`)),
    );
    box.browser.talking = false;
    const backend = idbBackend();
    const read = backend.read.bind(backend);
    let piece = 0;
    backend.read = async (keys) => {
      // What changes was read with the first piece, or was not there to be read.
      if (++piece === 2) {
        await saved(first, phraseNamed('p10', 'Changed'), storedIn(first, 'p10').revision);
        await saved(first, phraseNamed('a', 'New'), null);
        await first.remove(['p11']);
      }
      return read(keys);
    };
    const store = box.browser.window(UPGRADES, backend);
    expect(await store.opened()).toBe('ready');
    expect(titles(store)).toEqual(titles(first));
    expect(titles(store)).toMatchObject({ p10: 'Changed', a: 'New' });
  });
});

describe('a newer program', () => {
  it('upgrades, and the older window writes what waits, closes and says so', async () => {
    const old = await box.browser.ready();
    const a = await saved(old, phraseNamed('a', 'Quay'), null);
    old.onClosing(async () => {
      await saved(old, phraseNamed('a', 'Quay, last edit'), a.revision);
    });
    const young = await box.browser.ready(NEXT);
    expect(old.snapshot().state).toBe('outdated');
    expect(old.snapshot().reason?.message).toContain('newer version');
    expect(titles(young)).toEqual({ a: 'Quay, last edit' });
    expect(titles(old)).toEqual({ a: 'Quay, last edit' });
    expect(await old.save(phraseNamed('a', 'Too late'), 2)).toEqual({
      kind: 'not ready',
      state: 'outdated',
    });
    expect(await old.reopen()).toBe('outdated');
    expect(await rawDatabase('readonly', (_, meta) => meta.get('samples'))).toBe('upgraded');
  });

  it('has been here before: the older one opens nothing', async () => {
    const young = await box.browser.ready(NEXT);
    await saved(young, phraseNamed('a', 'Quay'), null);
    await young.close();
    const old = box.browser.window();
    expect(await old.opened()).toBe('outdated');
    expect(old.snapshot().phrases).toEqual([]);
    expect(await old.save(phraseNamed('b', 'Jetty'), null)).toMatchObject({ kind: 'not ready' });
  });

  it('waits while a window does not close, says so, and goes on by itself', async () => {
    const old = await box.browser.ready();
    await saved(old, phraseNamed('a', 'Quay'), null);
    // A window of a program that does not give way.
    const stubborn = await promised(indexedDB.open(DATABASE));
    const young = box.browser.window(NEXT);
    await until(young, () => young.snapshot().state === 'blocked');
    expect(young.snapshot().reason?.fix).toContain('Close the other windows');
    expect(await young.save(phraseNamed('b', 'Jetty'), null)).toEqual({
      kind: 'not ready',
      state: 'blocked',
    });
    stubborn.close();
    expect(await young.opened()).toBe('ready');
    expect(young.snapshot().reason).toBeNull();
    expect(titles(young)).toEqual({ a: 'Quay' });
  });

  it('that fails in its upgrade leaves everything as it was', async () => {
    const old = await box.browser.ready();
    await saved(old, phraseNamed('a', 'Quay'), null);
    await old.close();
    const broken: Upgrade = {
      to: newestVersion(UPGRADES) + 1,
      change: 'goes wrong half way',
      async upgrade(_, tx) {
        await tx.objectStore('records').clear();
        throw new Error('half way');
      },
    };
    const young = box.browser.window([...UPGRADES, broken]);
    expect(await young.opened()).toBe('failed');
    expect(young.snapshot().reason?.message).toContain('half way');
    const again = await box.browser.ready();
    expect(titles(again)).toEqual({ a: 'Quay' });
  });

  it('must have every step', () => {
    expect(() => newestVersion([...UPGRADES, { ...NEXT.at(-1)!, to: 9 }])).toThrow(RangeError);
    expect(newestVersion(NEXT)).toBe(UPGRADES.length + 1);
  });
});

describe('a browser without a database', () => {
  it('is unavailable, and nothing throws', async () => {
    vi.stubGlobal('indexedDB', undefined);
    try {
      const store = box.browser.window();
      expect(await store.opened()).toBe('unavailable');
      expect(store.snapshot().reason?.fix).toContain('private window');
      expect(await store.save(phraseNamed('a', 'Quay'), null)).toEqual({
        kind: 'not ready',
        state: 'unavailable',
      });
      expect(await store.reopen()).toBe('unavailable');
    } finally {
      vi.unstubAllGlobals();
    }
  });

  it('is unavailable where even asking for one is refused', async () => {
    const real = Object.getOwnPropertyDescriptor(globalThis, 'indexedDB')!;
    Object.defineProperty(globalThis, 'indexedDB', {
      configurable: true,
      get: () => {
        throw new DOMException('no', 'SecurityError');
      },
    });
    try {
      expect(await box.browser.window().opened()).toBe('unavailable');
    } finally {
      Object.defineProperty(globalThis, 'indexedDB', real);
    }
  });

  it.each([
    // Chromium with site data blocked, and Firefox in older private windows: from memory.
    ['SecurityError', 'unavailable'],
    ['InvalidStateError', 'unavailable'],
    ['UnknownError', 'failed'],
    ['QuotaExceededError', 'failed'],
  ])('%s is %s', async (name, state) => {
    const open = vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('no', name);
    });
    const store = box.browser.window();
    expect(await store.opened()).toBe(state);
    expect(store.snapshot().reason?.fix).toBeDefined();
    open.mockRestore();
  });
});

describe('after a failure', () => {
  it('the library can be opened again', async () => {
    const first = await box.browser.ready();
    await saved(first, phraseNamed('a', 'Quay'), null);
    const open = vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('disk', 'UnknownError');
    });
    const store = box.browser.window();
    expect(await store.opened()).toBe('failed');
    open.mockRestore();
    expect(await store.reopen()).toBe('ready');
    expect(titles(store)).toEqual({ a: 'Quay' });
    expect(await store.reopen()).toBe('ready');
  });

  it('of reading nothing is written, and what was read is not shown as all there is', async () => {
    const first = await box.browser.ready();
    await saved(first, phraseNamed('a', 'Quay'), null);
    const getAllKeys = vi.spyOn(IDBObjectStore.prototype, 'getAllKeys').mockImplementation(() => {
      throw new DOMException('disk', 'UnknownError');
    });
    const store = box.browser.window();
    expect(await store.opened()).toBe('failed');
    getAllKeys.mockRestore();
    expect(store.snapshot().phrases).toEqual([]);
    expect(await store.save(phraseNamed('b', 'Jetty'), null)).toMatchObject({ kind: 'not ready' });
    expect(await store.reopen()).toBe('ready');
    expect(titles(store)).toEqual({ a: 'Quay' });
  });

  it('of the connection the phrases stay on the page, and it can be opened again', async () => {
    const open = vi.spyOn(indexedDB, 'open');
    const store = await box.browser.ready();
    const connection: unknown = open.mock.results[0]?.value.result;
    open.mockRestore();
    await saved(store, phraseNamed('a', 'Quay'), null);
    // Its declaration names the class where it takes a connection.
    forceCloseDatabase(connection as typeof FDBDatabase);
    await until(store, () => store.snapshot().state !== 'ready');
    expect(store.snapshot()).toMatchObject({ state: 'failed', phrases: [{}] });
    expect(store.snapshot().reason?.message).toContain('closed the library');
    expect(await store.reopen()).toBe('ready');
    await saved(store, phraseNamed('a', 'Quay wall'), 1);
  });

  it('deleted from outside: it gives way, keeps what it shows, and says so', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    await promised(indexedDB.deleteDatabase(DATABASE));
    expect(store.snapshot()).toMatchObject({ state: 'failed', phrases: [{}] });
    expect(store.snapshot().reason?.message).toContain('deleted');
    expect(await store.save(phraseNamed('b', 'Jetty'), null)).toMatchObject({ kind: 'not ready' });
  });
});

describe('closing', () => {
  it('waits for what is being written', async () => {
    const store = await box.browser.ready();
    let ended = false;
    const saving = store.save(phraseNamed('a', 'Quay'), null).finally(() => {
      ended = true;
    });
    await store.close();
    expect(ended).toBe(true);
    expect(await saving).toMatchObject({ kind: 'saved' });
    expect(await store.save(phraseNamed('a', 'Late'), 1)).toEqual({
      kind: 'not ready',
      state: 'closed',
    });
    expect(titles(await box.browser.ready())).toEqual({ a: 'Quay' });
  });

  it('while it opens leaves no connection behind', async () => {
    const store = box.browser.window();
    await store.close();
    expect(store.snapshot().state).toBe('closed');
    const young = await box.browser.ready(NEXT);
    expect(young.snapshot().state).toBe('ready');
    expect(store.snapshot().state).toBe('closed');
  });
});
