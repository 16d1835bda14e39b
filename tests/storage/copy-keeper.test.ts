import { IDBFactory } from 'fake-indexeddb';
import fc from 'fast-check';
import { describe, expect, it, vi } from 'vitest';
import type { Patience, Safety } from '../../src/storage/copy-keeper';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import { FULL, SecondCopy, SLACK } from '../../src/storage/second-copy';
import { isUntidy, runsOf, type Weighed } from '../../src/storage/tidy';
import type { LibraryStore } from '../../src/storage/types';
import { Folder } from './folder';
import { freshBrowser, phraseNamed, rawDatabase, saved, titles, until } from './support';

/* The second copy where the folder is slow, silent, full or large: told, bounded, never waited for. */

const box = freshBrowser();

const PATIENT = { open: 60_000, write: 60_000 };
const HASTY: Patience = { open: 30, write: 30, again: 5, longest: 20, rest: 0 };

async function open(
  folder: Folder,
  patience: Partial<Patience> = {},
  alone: Safety['alone'] = (work) => work(),
): Promise<LibraryStore> {
  const safety = { copy: new SecondCopy(folder, UPGRADES.length), alone };
  const backend = idbBackend(DATABASE, UPGRADES, {
    ...safety,
    patience: { ...HASTY, ...patience },
  });
  const store = box.browser.window(UPGRADES, backend);
  expect(await store.opened()).toBe('ready');
  return store;
}

const copyOf = (store: LibraryStore) => store.snapshot().copy;

function throwAway(): void {
  globalThis.indexedDB = new IDBFactory();
}

function gateOf(): { readonly promise: Promise<void>; readonly resolve: () => void } {
  let resolve: () => void = () => undefined;
  const promise = new Promise<void>((done) => {
    resolve = done;
  });
  return { promise, resolve };
}

/** Text of so many characters: a phrase that weighs something. */
const heavy = (id: string, mark: string) => {
  const phrase = phraseNamed(id, mark);
  return { ...phrase, meta: { ...phrase.meta, notes: mark.repeat(10_000 / mark.length) } };
};

describe('a browser without a copy', () => {
  it('says so, and nothing is late', async () => {
    expect((await box.browser.ready()).snapshot().copy).toBe('none');
  });
});

describe('a folder that does not answer', () => {
  it('keeps nobody from opening and saving; it is told, and made up for when it answers', async () => {
    const folder = new Folder();
    const gate = gateOf();
    const list = folder.list.bind(folder);
    folder.list = async () => {
      await gate.promise;
      return list();
    };
    const store = await open(folder);
    expect(copyOf(store)).toBe('late');
    await saved(store, phraseNamed('a', 'Quay'), null);
    expect(folder.names()).toEqual([]);
    gate.resolve();
    await until(store, () => copyOf(store) === 'whole');
    await saved(store, phraseNamed('b', 'Jetty'), null);
    await store.close();
    throwAway();
    expect(titles(await open(folder, PATIENT))).toEqual({ a: 'Quay', b: 'Jetty' });
  });

  it('while it is written to holds up one save for a while, and the next ones not at all', async () => {
    const folder = new Folder();
    const store = await open(folder, { again: 600_000, longest: 600_000 });
    expect(copyOf(store)).toBe('whole');
    let writes = 0;
    folder.write = () => {
      writes += 1;
      return new Promise(() => undefined);
    };
    await saved(store, phraseNamed('a', 'Quay'), null);
    expect(copyOf(store)).toBe('late');
    await saved(store, phraseNamed('b', 'Jetty'), null);
    expect(writes).toBe(1);
  });

  it('and a lock that another window never gives back: opens all the same', async () => {
    const store = await open(new Folder(), {}, () => new Promise(() => undefined));
    expect(copyOf(store)).toBe('late');
    await saved(store, phraseNamed('a', 'Quay'), null);
  });
});

describe('a copy that failed', () => {
  it('is told as late, and caught up by itself when there is room again', async () => {
    const folder = new Folder();
    const store = await open(folder);
    folder.full = true;
    await saved(store, phraseNamed('a', 'Quay'), null);
    expect(copyOf(store)).toBe('late');
    await saved(store, phraseNamed('b', 'Jetty'), null);
    folder.full = false;
    await until(store, () => copyOf(store) === 'whole');
    await store.close();
    throwAway();
    expect(titles(await open(folder, PATIENT))).toEqual({ a: 'Quay', b: 'Jetty' });
  });

  it('that a later program keeps is told as missing', async () => {
    const folder = new Folder();
    folder.files.set('changes-1-1-1.json', JSON.stringify({ version: 99, records: [] }));
    expect(copyOf(await open(folder))).toBe('missing');
  });

  it('of a database thrown away comes back into the open window, late', async () => {
    const folder = new Folder();
    const first = await open(folder);
    await saved(first, phraseNamed('a', 'Quay'), null);
    await first.close();
    throwAway();
    folder.failing = true;
    const store = await open(folder);
    expect([copyOf(store), titles(store)]).toEqual(['late', {}]);
    await saved(store, phraseNamed('b', 'Jetty'), null);
    folder.failing = false;
    await until(store, () => store.snapshot().mishap !== null);
    expect(titles(store)).toEqual({ a: 'Quay', b: 'Jetty' });
    expect(store.snapshot().mishap).toEqual({ kind: 'restored', phrases: 1 });
  });

  it('gives back what the database lost at its end, whatever was written before it was seen', async () => {
    const folder = new Folder();
    const first = await open(folder);
    await saved(first, phraseNamed('a', 'Quay'), null);
    await saved(first, phraseNamed('b', 'Jetty'), null);
    await first.close();
    // The newest write of the database is lost, and the number of it; on a busy machine the number of the
    // first as well, which then is far above 1.
    await rawDatabase('readwrite', (records) => records.delete('b'));
    await rawDatabase('readwrite', (_, meta) => meta.put(1, 'sequence'));
    folder.failing = true;
    const store = await open(folder);
    for (const id of ['c', 'd', 'e']) await saved(store, phraseNamed(id, 'Since'), null);
    folder.failing = false;
    await until(store, () => store.snapshot().mishap !== null);
    const all = { a: 'Quay', b: 'Jetty', c: 'Since', d: 'Since', e: 'Since' };
    expect(titles(store)).toEqual(all);
    // On a busy machine a write may have run out of its patience.
    await until(store, () => copyOf(store) === 'whole');
    await store.close();
    throwAway();
    expect(titles(await open(folder, PATIENT))).toEqual(all);
  });
});

describe('the size of the copy', () => {
  const sizeOf = (folder: Folder) =>
    [...folder.files.values()].reduce((sum, text) => sum + text.length, 0);

  it('stays within twice the library and some, however often all is removed and brought back', async () => {
    const folder = new Folder();
    const store = await open(folder, PATIENT);
    const ids = Array.from({ length: 100 }, (_, i) => `p${i}`);
    await store.add(ids.map((id) => heavy(id, 'Tide')));
    const live = sizeOf(folder);
    expect(live).toBeGreaterThan(FULL);
    for (let round = 0; round < 10; round++) {
      await store.remove(ids);
      await store.restore(ids);
      // Without tidying it would be 21 times the library in the end. It is done at rest, however busy the machine is.
      await vi.waitFor(() => expect(sizeOf(folder)).toBeLessThan(3 * live + 2 * SLACK), 30_000);
    }
    await store.close();
    throwAway();
    expect(Object.keys(titles(await open(folder, PATIENT)))).toHaveLength(100);
  });

  it('of one transaction is divided into files, and a kill between them loses nothing', async () => {
    const folder = new Folder();
    const store = await open(folder, { open: 60_000, write: 100 });
    const ids = Array.from({ length: 250 }, (_, i) => `p${i}`);
    // After the first of its files.
    folder.left = 6;
    void store.add(ids.map((id) => heavy(id, 'Tide')));
    await folder.killed;
    const left = new Folder(folder.files);
    expect(left.names().length).toBeGreaterThan(0);
    const again = await open(left, PATIENT);
    await again.close();
    throwAway();
    expect(Object.keys(titles(await open(left, PATIENT)))).toHaveLength(250);
  });
});

describe('what is written anew', () => {
  const file = fc
    .record({
      width: fc.integer({ min: 1, max: 50 }),
      gap: fc.integer({ min: 0, max: 3 }),
      size: fc.integer({ min: 10, max: 2 * FULL }),
      alive: fc.double({ min: 0, max: 1, noNaN: true }),
    })
    .map((f) => ({ ...f, live: f.size * f.alive }));

  it('are neighbours only, each file once, and afterwards it is tidy or there is nothing to gain', () => {
    fc.assert(
      fc.property(fc.array(file, { maxLength: 60 }), (parts) => {
        let next = 1;
        const files = parts.map((p, i): Weighed => {
          const first = next + p.gap;
          next = first + p.width;
          const { size, live } = p;
          return { name: `${i}`, size, live, first, last: next - 1, records: p.width };
        });
        const runs = runsOf(files);
        const names = runs.flatMap((r) => r.names);
        expect(new Set(names).size).toBe(names.length);
        for (const r of runs) {
          const inside = files.filter((f) => f.first >= r.first && f.last <= r.last);
          expect(inside.map((f) => f.name)).toEqual(r.names);
        }
        const rest = files.filter((f) => !names.includes(f.name));
        const made = runs.map((r): Weighed => {
          const live = files
            .filter((f) => r.names.includes(f.name))
            .reduce((s, f) => s + f.live, 0);
          return { name: 'new', size: live, live, first: r.first, last: r.last, records: 1 };
        });
        const after = [...rest, ...made];
        const size = after.reduce((s, f) => s + f.size, 0);
        const live = after.reduce((s, f) => s + f.live, 0);
        expect(size).toBeLessThanOrEqual(2 * live + after.length * FULL);
        if (after.length <= 200) expect(isUntidy(after)).toBe(size > 2 * live + SLACK);
      }),
      { numRuns: 300 },
    );
  });
});
