import { IDBFactory } from 'fake-indexeddb';
import { describe, expect, it } from 'vitest';
import { KINDS, PHRASES } from '../../src/io/kinds/kinds';
import { idbBackend } from '../../src/storage/idb-backend';
import { leaveBehind, type Shelf, takeUp } from '../../src/storage/left-behind';
import { createSaveQueue } from '../../src/storage/queue';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import { SecondCopy } from '../../src/storage/second-copy';
import type { LibraryStore } from '../../src/storage/types';
import { ORDERS, order, TIME } from '../support/orders';
import { Folder } from './folder';
import { freshBrowser, phraseNamed, rawDatabase, titles } from './support';

/*
 * A kind of the test's own, beside phrases: what a row brings is all that there is to a kind, and the
 * library gives it what it gives to phrases.
 */

const box = freshBrowser();
const kinds = [...KINDS, ORDERS];

async function open(folder: Folder | null = null): Promise<LibraryStore> {
  const safety = folder && {
    copy: new SecondCopy(folder, UPGRADES.length),
    alone: <T>(work: () => Promise<T>) => work(),
  };
  const store = box.browser.window(UPGRADES, idbBackend(DATABASE, UPGRADES, safety), kinds);
  expect(await store.opened()).toBe('ready');
  return store;
}

const shown = (store: LibraryStore) =>
  Object.fromEntries(
    store
      .of(ORDERS)
      .all()
      .map((s) => [s.value.id, s.value.title]),
  );

describe('another kind', () => {
  it('is kept beside phrases of the same id, and outlives the window', async () => {
    const store = await open();
    await store.save(phraseNamed('a', 'Quay'), null);
    expect(await store.of(ORDERS).save(order('a', 'Nickel'), null)).toMatchObject({
      kind: 'saved',
      stored: { revision: 2, sample: false },
    });
    expect([titles(store), shown(store)]).toEqual([{ a: 'Quay' }, { a: 'Nickel' }]);
    await store.close();
    const again = await open();
    expect([titles(again), shown(again)]).toEqual([{ a: 'Quay' }, { a: 'Nickel' }]);
    expect(again.of(ORDERS).get('a')?.value).toEqual(order('a', 'Nickel'));
    expect(again.of(PHRASES).get('a')?.value.meta.title).toBe('Quay');
    expect(again.phrase('a')).toBe(again.snapshot().phrases[0]);
    expect(again.phrase('b')).toBeNull();
  });

  it('that breaks its rules is refused, with all that was to be saved with it', async () => {
    const orders = (await open()).of(ORDERS);
    const result = await orders.saveAll([
      { value: order('a', 'Nickel'), base: null },
      { value: order('b', 'Steel', -1), base: null },
    ]);
    expect(result).toMatchObject({ kind: 'invalid', id: 'b' });
    expect(orders.all()).toEqual([]);
  });

  it('is told to other windows, and a save from an old revision is a conflict', async () => {
    const [one, two] = [await open(), await open()];
    const first = await one.of(ORDERS).save(order('a', 'Nickel'), null);
    await two.refresh();
    expect(shown(two)).toEqual({ a: 'Nickel' });
    const base = first.kind === 'saved' ? first.stored.revision : 0;
    await two.of(ORDERS).save(order('a', 'Steel'), base);
    expect(await one.of(ORDERS).save(order('a', 'Bronze'), base)).toMatchObject({
      kind: 'conflict',
      conflict: { kind: 'changed', id: 'a', theirs: { value: { title: 'Steel' } } },
    });
    expect(shown(one)).toEqual({ a: 'Steel' });
  });

  it('that comes from outside never stands over another', async () => {
    const orders = (await open()).of(ORDERS);
    await orders.save(order('a', 'Nickel'), null);
    const added = await orders.add([order('a', 'Nickel'), order('a', 'Steel'), order('b', 'Silk')]);
    expect(added).toMatchObject({
      added: [
        { kind: 'same' },
        { kind: 'copied', from: 'a', stored: { value: { id: 'new-1', parent: 'a' } } },
        { kind: 'added' },
      ],
    });
  });

  it('is removed and brought back by its own ids', async () => {
    const store = await open();
    await store.save(phraseNamed('a', 'Quay'), null);
    const orders = store.of(ORDERS);
    await orders.save(order('a', 'Nickel'), null);
    expect(await orders.remove(['a', 'b'])).toEqual({ kind: 'done', ids: ['a'] });
    expect([titles(store), shown(store)]).toEqual([{ a: 'Quay' }, {}]);
    await store.close();
    const again = await open();
    expect(await again.of(ORDERS).restore(['a'])).toEqual({ kind: 'done', ids: ['a'] });
    expect(shown(again)).toEqual({ a: 'Nickel' });
  });

  it('of an older version is read as it is today; damaged or later, it is listed and stays', async () => {
    await (await open()).close();
    const { sets: _, ...old } = order('old', 'Gut');
    const put = (id: string, value: unknown) =>
      rawDatabase('readwrite', (records) =>
        records.put({ id: `order ${id}`, revision: 7, text: JSON.stringify(value) }),
      );
    await put('old', { ...old, version: 1 });
    await put('late', { ...order('late', 'Carbon'), version: 3 });
    await put('bad', { ...order('bad', 'Torn'), sets: 'three' });
    const store = await open();
    expect(
      store
        .of(ORDERS)
        .all()
        .map((s) => s.value),
    ).toEqual([order('old', 'Gut')]);
    expect(store.snapshot().problems).toMatchObject([
      { kind: 'damaged', key: 'order bad', title: 'Torn' },
      { kind: 'too new', key: 'order late', title: 'Carbon' },
    ]);
    expect(await store.discard(['order bad'])).toEqual({ kind: 'done', ids: ['order bad'] });
    expect(store.snapshot().problems).toHaveLength(1);
  });

  it('that the program does not know is listed and stays, and may not be asked for', async () => {
    await (await open()).of(ORDERS).save(order('a', 'Nickel'), null);
    await box.browser.close();
    const plain = await box.browser.ready();
    expect(plain.snapshot().problems).toMatchObject([{ kind: 'too new', title: 'Nickel' }]);
    expect(() => plain.of(ORDERS)).toThrow(RangeError);
    await plain.close();
    expect(shown(await open())).toEqual({ a: 'Nickel' });
  });

  it('comes back from the second copy like phrases', async () => {
    const folder = new Folder();
    const store = await open(folder);
    await store.of(ORDERS).save(order('a', 'Nickel'), null);
    await store.save(phraseNamed('a', 'Quay'), null);
    await store.close();
    globalThis.indexedDB = new IDBFactory();
    const back = await open(folder);
    expect([titles(back), shown(back)]).toEqual([{ a: 'Quay' }, { a: 'Nickel' }]);
    expect(back.snapshot().mishap).toEqual({ kind: 'restored', phrases: 1 });
  });
});

describe('edits of another kind', () => {
  const timers: (() => void)[] = [];
  const queueOf = (store: LibraryStore) =>
    createSaveQueue(store, {
      now: () => Date.parse(TIME),
      newId: () => 'mine',
      after: (_, run) => {
        timers.push(run);
        return () => undefined;
      },
      copyTitle: (title) => `${title}, again`,
    });

  it('wait in the same queue, and are written as the newest of them', async () => {
    const store = await open();
    const queue = queueOf(store);
    queue.of(ORDERS).edit(order('a', 'Nickel'), null);
    queue.of(ORDERS).edit(order('a', 'Steel'), null);
    queue.edit(phraseNamed('a', 'Quay'), null);
    expect(queue.of(ORDERS).status('a')).toMatchObject({ kind: 'unsaved' });
    expect(queue.waiting().map((w) => w.kind.name)).toEqual(['phrase', 'order']);
    await queue.flush();
    expect([titles(store), shown(store), queue.unsaved()]).toEqual([
      { a: 'Quay' },
      { a: 'Steel' },
      false,
    ]);
    expect(store.of(ORDERS).get('a')?.revision).toBeLessThanOrEqual(2);
  });

  it('that another window made too are both kept', async () => {
    const [one, two] = [await open(), await open()];
    const first = await one.of(ORDERS).save(order('a', 'Nickel'), null);
    const base = first.kind === 'saved' ? first.stored.revision : 0;
    await two.of(ORDERS).save(order('a', 'Steel'), base);
    const queue = queueOf(one);
    queue.of(ORDERS).edit(order('a', 'Bronze'), base);
    await queue.flush();
    expect(queue.of(ORDERS).status('a')).toMatchObject({
      kind: 'kept both',
      mine: { value: { id: 'mine', parent: 'a', title: 'Bronze, again' } },
    });
    queue.of(ORDERS).edit(order('a', 'Brass'), base);
    await queue.flush();
    expect(shown(one)).toEqual({ a: 'Steel', mine: 'Brass' });
  });

  it('that a page leaves behind are taken up, beside those of phrases of the same id', async () => {
    const all = new Map<string, string>();
    const shelf: Shelf = {
      names: () => [...all.keys()],
      read: (name) => all.get(name) ?? null,
      write: (name, text) => all.set(name, text).has(name),
      remove: (name) => void all.delete(name),
    };
    const store = await open();
    const queue = queueOf(store);
    queue.of(ORDERS).edit(order('a', 'Nickel'), null);
    queue.edit(phraseNamed('a', 'Quay'), null);
    leaveBehind(store, queue, shelf);
    expect(all.size).toBe(2);
    const again = await open();
    expect(await takeUp(again, queueOf(again), shelf)).toBe(2);
    expect([titles(again), shown(again), all.size]).toEqual([{ a: 'Quay' }, { a: 'Nickel' }, 0]);
  });
});

describe('the table of kinds', () => {
  it('names each kind once, in a word that a key can begin with', () => {
    const names = KINDS.map((k) => k.name);
    expect(new Set(names).size).toBe(names.length);
    expect(names.filter((n) => !/^[a-z]+$/u.test(n))).toEqual([]);
    expect(new Set(KINDS.map((k) => k.versions.format)).size).toBe(names.length);
  });
});
