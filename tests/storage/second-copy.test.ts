import { IDBFactory } from 'fake-indexeddb';
import { describe, expect, it } from 'vitest';
import type { Patience, Safety } from '../../src/storage/copy-keeper';
import { idbBackend } from '../../src/storage/idb-backend';
import { BELIEVED_AFTER } from '../../src/storage/rest-writes';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import { gapsIn, SecondCopy } from '../../src/storage/second-copy';
import type { LibraryStore } from '../../src/storage/types';
import { Folder } from './folder';
import { freshBrowser, NOW, phraseNamed, rawDatabase, saved, storedIn, titles } from './support';

const box = freshBrowser();

async function open(
  folder: Folder,
  version = UPGRADES.length,
  upgrades = UPGRADES,
  patience: Partial<Patience> = {},
): Promise<LibraryStore> {
  const backend = idbBackend(DATABASE, upgrades, {
    copy: new SecondCopy(folder, version),
    alone: oneAtATime(),
    patience: { ...PATIENT, ...patience },
  });
  const store = box.browser.window(upgrades, backend);
  expect(await store.opened()).toBe('ready');
  return store;
}

/** Waits for everything but a second attempt. */
const PATIENT: Patience = {
  open: 10_000,
  write: 10_000,
  again: 600_000,
  longest: 600_000,
  rest: 0,
};

function oneAtATime(): Safety['alone'] {
  let last: Promise<unknown> = Promise.resolve();
  return (work) => {
    const result = last.then(work);
    last = result.catch(() => undefined);
    return result;
  };
}

/** What is done in the background, and is not waited for by anybody, comes about. */
async function eventually(check: () => void): Promise<void> {
  for (let tries = 0; ; tries++) {
    try {
      return check();
    } catch (e) {
      if (tries > 400) throw e;
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
  }
}

/** More phrases than there may be files, and a library of them with a file for each. */
async function crowd(folder: Folder): Promise<LibraryStore> {
  const store = await open(folder);
  for (let n = 0; n < 201; n++) await saved(store, phraseNamed(`p${n}`, `Number ${n}`), null);
  expect(folder.names()).toHaveLength(201);
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
  it('gets no file at the next opening for what newer writes took the place of', async () => {
    const folder = new Folder();
    const store = await open(folder);
    let { revision } = await saved(store, phraseNamed('a', 'Quay'), null);
    await saved(store, phraseNamed('b', 'Jetty'), null);
    for (const title of ['Quay wall', 'Quayside', 'Quays']) {
      ({ revision } = await saved(store, phraseNamed('a', title), revision));
    }
    await store.close();
    const before = folder.names();
    expect(before).toHaveLength(2);
    await (await open(folder)).close();
    expect(folder.names()).toEqual(before);
    throwAway();
    expect(titles(await open(folder))).toEqual({ a: 'Quays', b: 'Jetty' });
  });

  it('is filled again, to the last acknowledged write, and the page can say so', async () => {
    const folder = new Folder();
    const store = await open(folder);
    expect(store.snapshot().mishap).toBeNull();
    await write(store);
    const before = store.snapshot().phrases.map((s) => [s.id, s.revision, s.sample]);
    await store.close();
    throwAway();
    const later = await open(folder);
    expect(later.snapshot().mishap).toEqual({ kind: 'restored', phrases: 3 });
    expect(titles(later)).toEqual(LEFT);
    const after = later.snapshot().phrases.map((s) => [s.id, s.revision, s.sample]);
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

  it('is filled from files of an earlier version', async () => {
    const folder = new Folder();
    await write(await open(folder, 1));
    throwAway();
    expect(titles(await open(folder, 2))).toEqual(LEFT);
  });

  it('leaves alone what a later version of the database wrote', async () => {
    const folder = new Folder();
    await write(await open(folder, 3));
    const before = new Map(folder.files);
    throwAway();
    const older = await open(folder, 2);
    expect(titles(older)).toEqual({});
    await saved(older, phraseNamed('x', 'Since'), null);
    expect(folder.files).toEqual(before);
    // The later program finds all of it.
    expect(titles(await open(folder, 3))).toEqual({ ...LEFT, x: 'Since' });
  });

  it('is filled at the next opening where the copy cannot be read at once', async () => {
    const folder = new Folder();
    await write(await open(folder));
    throwAway();
    const list = folder.list.bind(folder);
    folder.list = async () => {
      const files = await list();
      folder.failing = true;
      return files;
    };
    expect(titles(await open(folder))).toEqual({});
    folder.list = list;
    folder.failing = false;
    expect(titles(await open(folder))).toEqual(LEFT);
  });

  it('keeps what was written to it while the copy could not be read, and gets the rest', async () => {
    const folder = new Folder();
    const store = await open(folder);
    await store.seedSamples(['s1', 's2', 's3', 's4'].map((id) => phraseNamed(id, 'As laid in')));
    await saved(store, phraseNamed('s1', 'My own'), 1);
    await store.remove(['s2']);
    for (const title of ['Quay', 'Quay wall', 'Pier']) {
      const base = store.snapshot().phrases.find((p) => p.id === 'a')?.revision ?? null;
      await saved(store, phraseNamed('a', title), base);
    }
    await saved(store, phraseNamed('b', 'Jetty'), null);
    await store.close();
    throwAway();
    folder.failing = true;
    const blind = await open(folder);
    // The page lays the samples in anew, and the user begins again; numbers count from 1.
    await blind.seedSamples(['s1', 's2', 's3', 's4'].map((id) => phraseNamed(id, 'As laid in')));
    await saved(blind, phraseNamed('a', 'Anew'), null);
    await blind.remove(['s3']);
    await saved(blind, phraseNamed('s4', 'Mine too'), storedIn(blind, 's4').revision);
    await blind.close();
    folder.failing = false;
    const all = { a: 'Anew', b: 'Jetty', s1: 'My own', s4: 'Mine too' };
    const later = await open(folder);
    expect(later.snapshot().mishap).toEqual({ kind: 'restored', phrases: 2 });
    expect(titles(later)).toEqual(all);
    const numbers = later.snapshot().phrases.map((s) => s.revision);
    expect(new Set(numbers).size).toBe(numbers.length);
    await saved(later, phraseNamed('a', 'Anew again'), storedIn(later, 'a').revision);
    await later.close();
    expect((await open(folder)).snapshot().mishap).toBeNull();
    expect(await rawDatabase('readonly', (_, meta) => meta.get('fresh'))).toBeUndefined();
    throwAway();
    expect(titles(await open(folder))).toEqual({ ...all, a: 'Anew again' });
  });

  it('that was written to meanwhile is copied even where the copy cannot be written at once', async () => {
    const folder = new Folder();
    await write(await open(folder));
    throwAway();
    folder.failing = true;
    await saved(await open(folder), phraseNamed('x', 'Since'), null);
    folder.failing = false;
    folder.full = true;
    expect(titles(await open(folder))).toEqual({ ...LEFT, x: 'Since' });
    folder.full = false;
    await open(folder);
    throwAway();
    expect(titles(await open(folder))).toEqual({ ...LEFT, x: 'Since' });
  });

  it('is not taken for another one where the folder failed at the opening only', async () => {
    const folder = new Folder();
    await write(await open(folder));
    const before = new Map(folder.files);
    throwAway();
    folder.failing = true;
    const blind = await open(folder);
    folder.failing = false;
    // Under the number, and so the name, of something else.
    await saved(blind, phraseNamed('x', 'Since'), null);
    expect(folder.files).toEqual(before);
  });
});

describe('a database that lost its newest writes only', () => {
  it('gets them back under their numbers, and damage stays as it is', async () => {
    const folder = new Folder();
    const store = await open(folder);
    await store.saveAll([
      { phrase: phraseNamed('a', 'Quay'), base: null },
      { phrase: phraseNamed('b', 'Jetty'), base: null },
      { phrase: phraseNamed('c', 'Pier'), base: null },
    ]);
    const older: unknown = await rawDatabase('readonly', (p) => p.get('a'));
    await saved(store, phraseNamed('a', 'Quay wall'), 1);
    await saved(store, phraseNamed('d', 'Mole'), null);
    await store.close();
    await rawDatabase('readwrite', (p) => p.put(older));
    await rawDatabase('readwrite', (p) => p.put({ id: 'c', revision: 1 }));
    await rawDatabase('readwrite', (p) => p.delete('d'));
    await rawDatabase('readwrite', (_, meta) => meta.put(3, 'sequence'));
    const later = await open(folder);
    expect(later.snapshot().mishap).toEqual({ kind: 'restored', phrases: 2 });
    expect(titles(later)).toEqual({ a: 'Quay wall', b: 'Jetty', d: 'Mole' });
    expect(later.snapshot().problems).toMatchObject([{ key: 'c' }]);
    expect(
      later
        .snapshot()
        .phrases.map((s) => s.revision)
        .sort(),
    ).toEqual([2, 4, 5]);
  });

  it('is no fresh one after a new version of it', async () => {
    const folder = new Folder();
    await write(await open(folder));
    await box.browser.close();
    folder.failing = true;
    const later = { to: UPGRADES.length + 1, change: 'nothing', upgrade: () => undefined };
    expect(titles(await open(folder, undefined, [...UPGRADES, later]))).toEqual(LEFT);
    expect(await rawDatabase('readonly', (_, meta) => meta.get('fresh'))).toBeUndefined();
  });
});

describe('the copy', () => {
  it('is written before a save is acknowledged', async () => {
    const folder = new Folder();
    const store = await open(folder);
    await saved(store, phraseNamed('a', 'Quay'), null);
    expect([...folder.files.keys()]).toEqual(['changes-1-1-1.json']);
    expect(folder.files.get('changes-1-1-1.json')).toContain('Quay');
    await store.saveAll([
      { phrase: phraseNamed('b', 'Jetty'), base: null },
      { phrase: phraseNamed('c', 'Pier'), base: null },
    ]);
    expect([...folder.files.keys()]).toEqual(['changes-1-1-1.json', 'changes-2-3-2.json']);
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
    folder.full = true;
    await saved(store, phraseNamed('b', 'Jetty'), null);
    folder.full = false;
    await saved(store, phraseNamed('c', 'Pier'), null);
    expect(folder.names()).toEqual(['changes-1-1-1.json']);
    await store.close();
    await open(folder);
    throwAway();
    expect(titles(await open(folder))).toEqual({ a: 'Quay', b: 'Jetty', c: 'Pier' });
  });

  it('catches up with a window that could not write it beside one that could', async () => {
    const [full, folder] = [new Folder(), new Folder()];
    const one = await open(full);
    const two = await open(folder);
    full.full = true;
    await saved(one, phraseNamed('a', 'Quay'), null);
    await saved(two, phraseNamed('b', 'Jetty'), null);
    await open(folder);
    throwAway();
    expect(titles(await open(folder))).toEqual({ a: 'Quay', b: 'Jetty' });
  });

  it('catches up where it was killed while catching up', async () => {
    await write(await box.browser.ready());
    const folder = new Folder();
    folder.files.set('changes-1-9.json', '');
    await open(folder);
    throwAway();
    expect(titles(await open(folder))).toEqual(LEFT);
  });

  it('takes a write of another window while it is looked at for no loss', async () => {
    const folder = new Folder();
    const store = await open(folder);
    await saved(store, phraseNamed('a', 'Quay'), null);
    await rawDatabase('readwrite', (p) => p.put({ id: 'a' }));
    await store.refresh();
    const other = await open(folder);
    await other.discard(['a']);
    const list = folder.list.bind(folder);
    folder.list = async () => {
      folder.list = list;
      await saved(other, phraseNamed('b', 'Jetty'), null);
      return list();
    };
    const later = await open(folder);
    expect(later.snapshot().mishap).toBeNull();
    // What was discarded does not come back.
    expect(titles(later)).toEqual({ b: 'Jetty' });
  });

  it('hands a large file over in pieces, so that the page can answer in between', async () => {
    const folder = new Folder();
    const pieces: string[] = [];
    const write = folder.write.bind(folder);
    folder.write = (name, given) =>
      write(
        name,
        (function* () {
          for (const piece of given) {
            pieces.push(piece);
            yield piece;
          }
        })(),
      );
    const copy = new SecondCopy(folder, 4);
    const records = Array.from({ length: 300 }, (_, i) => {
      return { id: `r${i}`, revision: i + 1, text: `"♭${i}"`.repeat(400) };
    });
    const [name] = await copy.add({ records, samples: 7 });
    expect(pieces.length).toBeGreaterThan(4);
    expect(Math.max(...pieces.map((p) => p.length))).toBeLessThan(160 * 1024);
    expect(copy.growth.size).toBe(pieces.join('').length);
    expect(await copy.contents(name!)).toEqual({ records, samples: 7 });
  });

  it('holds one file for each phrase, however often it is saved', async () => {
    const folder = new Folder();
    const store = await open(folder);
    let revision: number | null = null;
    for (let n = 0; n < 50; n++) {
      revision = (await saved(store, phraseNamed('a', `Number ${n}`), revision)).revision;
    }
    await store.remove(['a']);
    expect([...folder.files.keys()]).toEqual(['changes-51-51-1.json']);
    // Two at once: the second is copied when the first is, so that they are acknowledged in turn.
    await store.restore(['a']);
    const write = folder.write.bind(folder);
    let release: () => void = () => undefined;
    folder.write = async (name, pieces) => {
      folder.write = write;
      await new Promise<void>((resolve) => {
        release = resolve;
      });
      return write(name, pieces);
    };
    const acknowledged: string[] = [];
    const first = store.save(phraseNamed('a', 'First'), 52).then(() => acknowledged.push('First'));
    const second = store
      .save(phraseNamed('a', 'Second'), 53)
      .then(() => acknowledged.push('Second'));
    const sequence = () => rawDatabase('readonly', (_, meta) => meta.get('sequence'));
    while ((await sequence()) !== 54);
    expect(acknowledged).toEqual([]);
    release();
    await Promise.all([first, second]);
    expect(acknowledged).toEqual(['First', 'Second']);
    expect(folder.names()).toEqual(['changes-54-54-1.json']);
    await saved(store, phraseNamed('a', 'Third'), 54);
    expect(folder.names()).toEqual(['changes-55-55-1.json']);
    throwAway();
    expect(titles(await open(folder))).toEqual({ a: 'Third' });
  });

  it('keeps the file that knows of the samples, whatever became of the only one', async () => {
    const folder = new Folder();
    const store = await open(folder);
    await store.seedSamples([phraseNamed('s1', 'First light')]);
    await saved(store, phraseNamed('s1', 'My own'), 1);
    await saved(store, phraseNamed('s1', 'My own again'), 2);
    throwAway();
    expect(await (await open(folder)).seedSamples([])).toEqual({ kind: 'seeded before' });
  });

  it('does not count files whose names make no sense', async () => {
    const folder = new Folder();
    for (const n of ['0-5', '3-99999999999999999999', '4', '-1-4', '1-2x']) {
      folder.files.set(`changes-${n}.json`, '{}');
    }
    expect(await new SecondCopy(folder, 2).list()).toEqual([]);
  });

  it('knows what it lacks', () => {
    const spans = [
      { first: 8, last: 9 },
      { first: 2, last: 6 },
      { first: 3, last: 4 },
      { first: 12, last: 20 },
    ];
    const at = (last: number) => gapsIn(spans, last).map((g) => [g.first, g.last]);
    expect(at(0)).toEqual([]);
    expect(at(1)).toEqual([[1, 1]]);
    expect(at(6)).toEqual([[1, 1]]);
    expect(at(7)).toEqual([
      [1, 1],
      [7, 7],
    ]);
    expect(at(30)).toEqual([
      [1, 1],
      [7, 7],
      [10, 11],
      [21, 30],
    ]);
    expect(gapsIn([], 3)).toEqual([{ first: 1, last: 3 }]);
  });

  it('takes any number of phrases at once', async () => {
    const folder = new Folder();
    const copy = new SecondCopy(folder, 2);
    const records = Array.from({ length: 200_000 }, (_, i) => ({
      id: `p${i}`,
      revision: i + 1,
      text: '',
    }));
    const names = await copy.add({ records, samples: null });
    // In files of about a million characters each, which together cover all of them.
    expect(names.length).toBeGreaterThan(10);
    const files = await copy.list();
    expect(files.map((f) => f.name)).toEqual(names);
    expect(gapsIn(files, 200_000)).toEqual([]);
    expect(Math.max(...files.map((f) => f.size))).toBeLessThan(2_000_000);
    let held = 0;
    for (const { name } of files) held += Object(await copy.contents(name)).records.length;
    expect(held).toBe(200_000);
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
    const store = await crowd(folder);
    await store.seedSamples([phraseNamed('s1', 'First light')]);
    const all = titles(store);
    folder.files.set('notes.txt', 'not ours');
    folder.files.set('changes-150-150.json', '');
    // Left behind by a kill long ago, and perhaps still written to.
    folder.files.set('changes-2-2.json.crswap', '{"ver');
    folder.files.set('changes-202-202.json.crswap', '{"ver');
    await store.close();
    const later = await open(folder);
    const kept = ['changes-1-202-202.json', 'changes-202-202.json.crswap', 'notes.txt'];
    // A cut-off file of ours is none, and is only swept away with what stands beside it.
    folder.files.delete('changes-150-150.json');
    await eventually(() => expect([...folder.files.keys()].sort()).toEqual(kept));
    await saved(later, phraseNamed('b', 'Jetty'), null);
    throwAway();
    const last = await open(folder);
    expect(titles(last)).toEqual({ ...all, b: 'Jetty' });
    expect(storedIn(last, 's1').sample).toBe(true);
    expect(await last.seedSamples([])).toEqual({ kind: 'seeded before' });
    expect(await rawDatabase('readonly', (_, meta) => meta.get('samples'))).toBe(NOW);
  });

  it('loses nothing where it is killed while it is gathered', async () => {
    const folder = new Folder();
    await write(await open(folder));
    for (let n = 1; n <= 201; n++) folder.files.set(`changes-1-${n % 8 || 8}-0${n}.json`, '{}');
    const database = globalThis.indexedDB;
    let gathered = 0;
    for (let left = 0; left < 16; left++) {
      globalThis.indexedDB = database;
      const killed = new Folder(new Map(folder.files));
      killed.left = left;
      const backend = idbBackend(DATABASE, UPGRADES, {
        copy: new SecondCopy(killed, UPGRADES.length),
        alone: oneAtATime(),
        patience: PATIENT,
      });
      const nothing = () => undefined;
      const told = { blocked: nothing, newer: nothing, deleted: nothing, lost: nothing };
      const events = { ...told, copy: nothing, restored: nothing };
      await Promise.race([backend.open(events), killed.killed]);
      let dead = false;
      void killed.killed.then(() => {
        dead = true;
      });
      for (let i = 0; i < 200 && !dead; i++) await new Promise((resolve) => setTimeout(resolve));
      backend.close();
      if (killed.names().length < folder.names().length) gathered += 1;
      throwAway();
      expect(titles(await open(new Folder(killed.files))), `killed after ${left}`).toEqual(LEFT);
    }
    expect(gathered).toBeGreaterThan(5);
  });

  it('is gathered only when there are more than 200 files', async () => {
    const folder = new Folder();
    const store = await open(folder);
    for (let n = 0; n < 200; n++) await saved(store, phraseNamed(`p${n}`, 'Quay'), null);
    await open(folder);
    expect(folder.names()).toHaveLength(200);
  });

  it('remembers after being gathered that the samples were laid in, and all removed', async () => {
    const folder = new Folder();
    const store = await crowd(folder);
    await store.seedSamples([phraseNamed('s1', 'First light')]);
    await store.remove(['s1']);
    await store.close();
    // After 30 days nothing is left of them.
    box.browser.now = NOW + 31 * 24 * 60 * 60 * 1000;
    await (await open(folder)).close();
    box.browser.now += BELIEVED_AFTER;
    await (await open(folder)).close();
    expect(await rawDatabase('readonly', (p) => p.get('s1'))).toBeUndefined();
    // Gathered with them at that opening, and without them at a later one.
    for (let n = 1; n <= 201; n++) folder.files.set(`changes-${n}-${n}.json`, '{}');
    const third = await open(folder);
    await eventually(() => expect(folder.names()).toHaveLength(1));
    await third.close();
    throwAway();
    const later = await open(folder);
    expect(titles(later)).not.toHaveProperty('s1');
    expect(await later.seedSamples([phraseNamed('s1', 'First light')])).toEqual({
      kind: 'seeded before',
    });
  });

  it('is not gathered while something in the database is damaged', async () => {
    const folder = new Folder();
    const store = await crowd(folder);
    await store.close();
    await rawDatabase('readwrite', (p) => p.put({ id: 'p7' }));
    await open(folder);
    expect(folder.names()).toHaveLength(201);
  });
});
