import { beforeEach, describe, expect, it } from 'vitest';
import { type LibraryStore, openLibrary } from '../../src/storage';
import { newestVersion, UPGRADES } from '../../src/storage/schema';
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

const titles = (store: LibraryStore) => store.snapshot().phrases.map((s) => s.phrase.meta.title);

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
    expect(again.snapshot().phrases[0]?.phrase).toEqual(phraseNamed('a', 'Quay ♭'));
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
        const tx = request.result.transaction('phrases', 'readwrite');
        tx.objectStore('phrases').put({ id: 'bad', revision: 9, text: '{"meta"' });
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
