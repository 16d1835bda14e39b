import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { LibraryStore, Mishap } from '../../../../src/storage/types';
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
  (await shelf.read()).things.set('phrase quay', { version: '0123456789abcdef', past: [] });
  await shelf.keep();
  // Of a library only what it says of itself is asked while there is no folder.
  const store = { snapshot: () => ({ state: 'ready', mishap }), subscribe: () => () => {} };
  const told = () => {};
  const now = () => '2026-11-27T12:00:00.000Z';
  await new FolderKeeper({ store: store as unknown as LibraryStore, now, told }).start();
  return (await (await FolderShelf.open()).read()).things.size > 0;
}

it('does not take for removed what a library lacks that the browser had thrown away', async () => {
  expect(await knownAfter(null)).toBe(true);
  expect(await knownAfter({ kind: 'lost' })).toBe(false);
  expect(await knownAfter({ kind: 'restored', phrases: 3 })).toBe(false);
});
