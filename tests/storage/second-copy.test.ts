import { IDBFactory } from 'fake-indexeddb';
import { describe, expect, it } from 'vitest';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import { type Files, SecondCopy } from '../../src/storage/second-copy';
import type { LibraryStore } from '../../src/storage/types';
import { freshBrowser, NOW, phraseNamed, rawDatabase, saved, storedIn, titles } from './support';

const box = freshBrowser();

/** A folder in memory, which can be made to fail. */
class Folder implements Files {
  readonly files = new Map<string, string>();
  failing = false;

  async list() {
    this.check();
    return [...this.files.keys()];
  }
  async read(name: string) {
    this.check();
    const text = this.files.get(name);
    if (text === undefined) throw new DOMException('gone', 'NotFoundError');
    return text;
  }
  async write(name: string, text: string) {
    this.check();
    this.files.set(name, text);
  }
  async remove(name: string) {
    this.check();
    this.files.delete(name);
  }
  private check() {
    if (this.failing) throw new DOMException('folder', 'UnknownError');
  }
}

async function open(folder: Folder, version = 1): Promise<LibraryStore> {
  const backend = idbBackend(DATABASE, UPGRADES, {
    copy: new SecondCopy(folder, version),
    alone: (work) => work(),
  });
  const store = box.browser.window(UPGRADES, backend);
  expect(await store.opened()).toBe('ready');
  return store;
}

/** What Chromium does to a database that it cannot read. */
function throwAway(): void {
  globalThis.indexedDB = new IDBFactory();
}

/** Edits, removals, samples: one of each, and the library they leave. */
async function write(store: LibraryStore): Promise<void> {
  await store.seedSamples([phraseNamed('s1', 'First light'), phraseNamed('s2', 'Second bell')]);
  const a = await saved(store, phraseNamed('a', 'Quay'), null);
  await saved(store, phraseNamed('a', 'Quay wall'), a.revision);
  await store.add([phraseNamed('b', 'Jetty'), phraseNamed('c', 'Pier')]);
  await store.remove(['b', 's2']);
}

const LEFT = { a: 'Quay wall', c: 'Pier', s1: 'First light' };

describe('a database that the browser threw away', () => {
  it('is filled again, to the last acknowledged write, and the page can say so', async () => {
    const folder = new Folder();
    const store = await open(folder);
    expect(store.snapshot().mishap).toBeNull();
    await write(store);
    const before = store.snapshot().phrases.map((s) => [s.phrase.id, s.revision, s.sample]);
    await store.close();
    throwAway();
    const later = await open(folder);
    expect(later.snapshot().mishap).toEqual({ kind: 'restored', phrases: 3 });
    expect(titles(later)).toEqual(LEFT);
    const after = later.snapshot().phrases.map((s) => [s.phrase.id, s.revision, s.sample]);
    expect(after.sort()).toEqual(before.sort());
    expect(await later.seedSamples([])).toEqual({ kind: 'seeded before' });
    expect(await later.restore(['b'])).toEqual({ kind: 'done', ids: ['b'] });
    // Numbers go on where they were.
    expect((await saved(later, phraseNamed('d', 'Mole'), null)).revision).toBe(10);
    await later.close();
    const again = await open(folder);
    expect(again.snapshot().mishap).toBeNull();
    expect(titles(again)).toEqual({ ...LEFT, b: 'Jetty', d: 'Mole' });
  });

  it('is filled also where it was killed in the midst of being filled, or written since', async () => {
    const folder = new Folder();
    await write(await open(folder));
    throwAway();
    // A window without the copy writes first.
    const other = await box.browser.ready();
    await saved(other, phraseNamed('x', 'Since'), null);
    expect(titles(await open(folder))).toEqual({ ...LEFT, x: 'Since' });
  });

  it('is empty where there is no copy, as at the first start', async () => {
    const store = await open(new Folder());
    expect(store.snapshot()).toMatchObject({ mishap: null, phrases: [] });
  });

  it('does not get back damaged files, and the others all the same', async () => {
    const folder = new Folder();
    await write(await open(folder));
    for (const [name, text] of folder.files) {
      if (text.includes('Pier')) folder.files.set(name, text.slice(0, 100));
    }
    folder.files.set('changes-90-91.json', '[]');
    folder.files.set(
      'changes-92-92.json',
      '{"version":1,"records":[{"id":"z","revision":"x"}, null]}',
    );
    throwAway();
    const later = await open(folder);
    expect(titles(later)).toEqual({ a: 'Quay wall', s1: 'First light' });
    expect(later.snapshot().problems).toEqual([]);
  });

  it('does not get back what a later version of the database wrote', async () => {
    const folder = new Folder();
    await write(await open(folder, 2));
    throwAway();
    expect(titles(await open(folder, 1))).toEqual({});
  });
});

describe('the copy', () => {
  it('is written before a save is acknowledged', async () => {
    const folder = new Folder();
    const store = await open(folder);
    await saved(store, phraseNamed('a', 'Quay'), null);
    expect([...folder.files.keys()]).toEqual(['changes-1-1.json']);
    expect(folder.files.get('changes-1-1.json')).toContain('Quay');
    await store.saveAll([
      { phrase: phraseNamed('b', 'Jetty'), base: null },
      { phrase: phraseNamed('c', 'Pier'), base: null },
    ]);
    expect([...folder.files.keys()]).toEqual(['changes-1-1.json', 'changes-2-3.json']);
  });

  it('of a write that did not happen is not made', async () => {
    const folder = new Folder();
    const store = await open(folder);
    await saved(store, phraseNamed('a', 'Quay'), null);
    await store.save(phraseNamed('a', 'Other'), 7);
    await store.remove(['nobody']);
    expect(folder.files.size).toBe(1);
  });

  it('catches up with a database that was there before it, or was written without it', async () => {
    const first = await box.browser.ready();
    await write(first);
    const folder = new Folder();
    await open(folder);
    expect(folder.files.size).toBe(1);
    await saved(first, phraseNamed('d', 'Mole'), null);
    await open(folder);
    expect(folder.files.size).toBe(2);
    throwAway();
    expect(titles(await open(folder))).toEqual({ ...LEFT, d: 'Mole' });
  });

  it('that fails costs nothing but itself, and catches up at the next opening', async () => {
    const folder = new Folder();
    const store = await open(folder);
    await saved(store, phraseNamed('a', 'Quay'), null);
    folder.failing = true;
    await saved(store, phraseNamed('b', 'Jetty'), null);
    folder.failing = false;
    // Not tried again, since the gap could not be told from its name.
    await saved(store, phraseNamed('c', 'Pier'), null);
    expect(folder.files.size).toBe(1);
    await store.close();
    await open(folder);
    throwAway();
    expect(titles(await open(folder))).toEqual({ a: 'Quay', b: 'Jetty', c: 'Pier' });
  });

  it('that cannot even be listed lets the library open', async () => {
    const folder = new Folder();
    folder.failing = true;
    const store = await open(folder);
    await saved(store, phraseNamed('a', 'Quay'), null);
    expect(titles(store)).toEqual({ a: 'Quay' });
  });

  it('is gathered into one file when there are many, without losing anything', async () => {
    const folder = new Folder();
    const store = await open(folder);
    let revision: number | null = null;
    for (let n = 0; n < 201; n++) {
      revision = (await saved(store, phraseNamed('a', `Number ${n}`), revision)).revision;
    }
    await store.seedSamples([phraseNamed('s1', 'First light')]);
    folder.files.set('notes.txt', 'not ours');
    await store.close();
    const later = await open(folder);
    expect([...folder.files.keys()].sort()).toEqual(['all-202.json', 'notes.txt']);
    await saved(later, phraseNamed('b', 'Jetty'), null);
    throwAway();
    const last = await open(folder);
    expect(titles(last)).toEqual({ a: 'Number 200', b: 'Jetty', s1: 'First light' });
    expect(storedIn(last, 's1').sample).toBe(true);
    expect(await last.seedSamples([])).toEqual({ kind: 'seeded before' });
    expect(await rawDatabase('readonly', (_, meta) => meta.get('samples'))).toBe(NOW);
  });

  it('is not gathered while something in the database is damaged', async () => {
    const folder = new Folder();
    const store = await open(folder);
    let revision: number | null = null;
    for (let n = 0; n < 201; n++) {
      revision = (await saved(store, phraseNamed('a', `Number ${n}`), revision)).revision;
    }
    await store.close();
    await rawDatabase('readwrite', (p) => p.put({ id: 'a' }));
    await open(folder);
    expect(folder.files.size).toBe(201);
  });
});
