import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { openDB } from 'idb';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { LibraryStore, Mishap } from '../../../../src/storage/types';
import { folderWords } from '../../../../src/ui/frame/folder/folder-words';
import { FolderKeeper } from '../../../../src/ui/frame/folder/keeper';
import { FolderShelf } from '../../../../src/ui/frame/folder/shelf';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  const events = { addEventListener: () => {} };
  vi.stubGlobal('window', { ...events, showDirectoryPicker: () => {} });
  vi.stubGlobal('document', { ...events, visibilityState: 'visible' });
  vi.stubGlobal('navigator', {});
  vi.stubGlobal('setInterval', () => 0);
});
afterEach(() => vi.unstubAllGlobals());

/** Whether what was in step is still known after a start of the app. */
async function knownAfter(mishap: Mishap | null): Promise<boolean> {
  const shelf = await FolderShelf.open();
  (await shelf.read()).setThing('phrase quay', { version: '0123456789abcdef', past: [] });
  await shelf.keep();
  // Of a library only what it says of itself is asked while there is no folder.
  const store = { snapshot: () => ({ state: 'ready', mishap }), subscribe: () => () => {} };
  const told = () => {};
  const now = () => '2026-11-27T12:00:00.000Z';
  await new FolderKeeper({ store: store as unknown as LibraryStore, now, told }).start();
  return (await (await FolderShelf.open()).read()).size > 0;
}

it('does not take for removed what a library lacks that the browser had thrown away', async () => {
  expect(await knownAfter(null)).toBe(true);
  expect(await knownAfter({ kind: 'lost' })).toBe(false);
  expect(await knownAfter({ kind: 'restored', phrases: 3 })).toBe(false);
});

it('keeps what was remembered before there were blocks, and hears of what another window kept', async () => {
  const thing = { version: '0123456789abcdef', past: [] };
  const older = JSON.stringify({ version: 1, things: [['phrase quay', thing]], files: [] });
  const db = await openDB('degreewise-folder', 1, {
    upgrade: (made) => {
      made.createObjectStore('folder');
      made.createObjectStore('notes').put({ round: 4, text: older }, 'notes');
    },
  });
  db.close();
  const [one, two] = [await FolderShelf.open(), await FolderShelf.open()];
  const notes = await one.read();
  expect(notes.thing('phrase quay')).toEqual(thing);
  await one.keep();
  expect((await two.read()).thing('phrase quay')).toEqual(thing);
  notes.setThing('phrase lamp', thing);
  await one.keep();
  expect((await two.read()).thing('phrase lamp')).toEqual(thing);
  // What another window forgot is forgotten here too.
  await two.forgetNotes();
  expect((await one.read()).size).toBe(0);
});

it('says that a window with an earlier program is in the way, and goes on when that is closed', async () => {
  const earlier = await openDB('degreewise-folder', 1, {
    upgrade: (made) => {
      made.createObjectStore('folder');
      made.createObjectStore('notes');
    },
  });
  const store = { snapshot: () => ({ state: 'ready', mishap: null }), subscribe: () => () => {} };
  const keeper = new FolderKeeper({
    store: store as unknown as LibraryStore,
    now: () => '2026-11-27T12:00:00.000Z',
    told: () => {},
  });
  const started = keeper.start();
  await vi.waitFor(() => expect(keeper.get()).toEqual({ kind: 'waits' }));
  expect(folderWords(keeper.get())).toMatch(/Close that window/u);
  earlier.close();
  await started;
  expect(keeper.get()).toEqual({ kind: 'none' });
});
