import { beforeEach, describe, expect, it } from 'vitest';
import { type LibraryStore, openLibrary } from '../../src/storage';
import { privateFolder } from '../../src/storage/opfs';
import { newestVersion, UPGRADES } from '../../src/storage/schema';
import type { Files } from '../../src/storage/second-copy';
import { phraseNamed } from '../support/phrase-named';

/* The same library as in `tests/storage`, over the database of a real browser. */

let name = '';
let open: LibraryStore[] = [];
beforeEach(async () => {
  name = `storage-test-${crypto.randomUUID()}`;
  open = [];
  return async () => {
    for (const s of open) await s.close();
    await new Promise((resolve) => {
      indexedDB.deleteDatabase(name).onsuccess = resolve;
    });
  };
});

async function ready(): Promise<LibraryStore> {
  const store = openLibrary(name);
  open.push(store);
  expect(await store.opened()).toBe('ready');
  return store;
}

const titles = (store: LibraryStore) => store.snapshot().phrases.map((s) => s.peek()?.meta.title);

function until(store: LibraryStore, test: () => boolean): Promise<void> {
  return new Promise((resolve) => {
    const look = () => {
      if (test()) resolve();
    };
    store.subscribe(look);
    look();
  });
}

describe('in the browser', () => {
  it('a library is there after closing, and says whether it is kept', async () => {
    const store = await ready();
    expect(await store.save(phraseNamed('a', 'Quay ♭'), null)).toMatchObject({ kind: 'saved' });
    await store.close();
    const again = await ready();
    expect(again.snapshot().phrases[0]?.peek()).toEqual(phraseNamed('a', 'Quay ♭'));
    await until(again, () => again.snapshot().persisted !== null);
    expect(again.snapshot().persisted).toBe(await navigator.storage.persisted());
  });

  it('two windows see each other, and the second of two edits is told', async () => {
    const one = await ready();
    const two = await ready();
    await one.save(phraseNamed('a', 'Quay'), null);
    await until(two, () => titles(two)[0] === 'Quay');
    const results = await Promise.all([
      one.save(phraseNamed('a', 'By one'), 1),
      two.save(phraseNamed('a', 'By two'), 1),
    ]);
    expect(results.map((r) => r.kind)).toEqual(['saved', 'conflict']);
    expect(titles(two)).toEqual(['By one']);
  });

  it('a newer program is let in, and the older window writes no more', async () => {
    const store = await ready();
    await store.save(phraseNamed('a', 'Quay'), null);
    const newer = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open(name, newestVersion(UPGRADES) + 1);
      request.onsuccess = () => resolve(request.result);
    });
    expect(store.snapshot().state).toBe('outdated');
    expect(await store.save(phraseNamed('a', 'Late'), 1)).toEqual({
      kind: 'not ready',
      state: 'outdated',
    });
    const late = openLibrary(name);
    expect(await late.opened()).toBe('outdated');
    newer.close();
  });

  it('damage is listed, and the rest is shown', async () => {
    const store = await ready();
    await store.save(phraseNamed('a', 'Quay'), null);
    await store.close();
    await new Promise<void>((resolve) => {
      const request = indexedDB.open(name);
      request.onsuccess = () => {
        const tx = request.result.transaction('records', 'readwrite');
        tx.objectStore('records').put({ id: 'bad', revision: 9, text: '{"meta"' });
        tx.oncomplete = () => {
          request.result.close();
          resolve();
        };
      };
    });
    const again = await ready();
    expect(titles(again)).toEqual(['Quay']);
    expect(again.snapshot().problems).toMatchObject([{ key: 'bad', raw: '{"meta"' }]);
  });
});

describe('the private file system', () => {
  const NAME = 'storage-test-folder';
  const directory = async () =>
    (await navigator.storage.getDirectory()).getDirectoryHandle(NAME, { create: true });
  let files: Files;
  beforeEach(async () => {
    const found = privateFolder(NAME);
    if (found === null) throw new Error('this browser has none');
    files = found;
    return async () => {
      await (await navigator.storage.getDirectory()).removeEntry(NAME, { recursive: true });
    };
  });

  it('keeps files, writes over them, and lets go of them', async () => {
    expect(await files.list()).toEqual([]);
    await files.write('a.json', ['a longer text ♭']);
    await files.write('b.json', ['b']);
    await files.write('a.json', ['a ♭']);
    expect(await files.read('a.json')).toBe('a ♭');
    // A flat sign is three bytes.
    const sizes = (await files.list()).map((f) => [f.name, f.size]);
    expect(sizes.sort()).toEqual([
      ['a.json', 5],
      ['b.json', 1],
    ]);
    await files.remove('a.json');
    expect((await files.list()).map((f) => f.name)).toEqual(['b.json']);
    await expect(files.read('a.json')).rejects.toThrow();
  });

  it('says that a file was begun and not ended, as a kill leaves it', async () => {
    const handle = await (await directory()).getFileHandle('a.json', { create: true });
    const writable = await handle.createWritable();
    await writable.write('text');
    expect((await files.list()).find((f) => f.name === 'a.json')).toEqual({
      name: 'a.json',
      size: 0,
    });
    // Chromium keeps what is being written beside the file, where it stays after a kill.
    const beside = (await files.list()).filter((f) => f.name !== 'a.json');
    expect(beside.every((f) => f.name.startsWith('a.json.'))).toBe(true);
    await writable.abort();
  });

  it('leaves a file as it was, and nothing beside it, when a write fails', async () => {
    await files.write('a.json', ['before']);
    // What no text can be made of fails in the midst of the write.
    const bad: unknown = Symbol('bad');
    await expect(files.write('a.json', [bad as string])).rejects.toThrow();
    expect(await files.list()).toEqual([{ name: 'a.json', size: 6 }]);
    expect(await files.read('a.json')).toBe('before');
  });

  it('lists files only', async () => {
    await (await directory()).getDirectoryHandle('folder.json', { create: true });
    expect(await files.list()).toEqual([]);
  });
});
