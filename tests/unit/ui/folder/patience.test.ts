import 'fake-indexeddb/auto';
import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { carry } from '../../../../src/io/folder/carry';
import type { LibraryStore } from '../../../../src/storage/types';
import { FolderKeeper } from '../../../../src/ui/frame/folder/keeper';
import { FolderShelf } from '../../../../src/ui/frame/folder/shelf';

vi.mock('../../../../src/io/folder/carry', () => ({ carry: vi.fn() }));
const looks = vi.mocked(carry);

function named(name: string): FileSystemDirectoryHandle {
  const own = { name, queryPermission: async () => 'granted' };
  return {
    ...own,
    isSameEntry: async (other: FileSystemHandle) => other.name === name,
  } as unknown as FileSystemDirectoryHandle;
}

/** What windows have chosen last. */
const kept = (handle: FileSystemDirectoryHandle | null) =>
  vi.spyOn(FolderShelf.prototype, 'chosen').mockResolvedValue(handle);

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
  const folder = named('shared');
  const events = { addEventListener: () => {} };
  vi.stubGlobal('window', { ...events, showDirectoryPicker: async () => folder });
  vi.stubGlobal('document', { ...events, visibilityState: 'visible' });
  vi.stubGlobal('navigator', {});
  vi.stubGlobal('localStorage', { getItem: () => String(Date.now()), setItem: () => {} });
  vi.stubGlobal('setInterval', () => 0);
  // A handle is kept by the browser alone.
  vi.spyOn(FolderShelf.prototype, 'choose').mockImplementation(async (handle) => {
    kept(handle);
  });
});
afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

it('looks at the whole folder as soon as the library is open', async () => {
  let state = 'opening';
  let changed = () => {};
  const store = {
    snapshot: () => ({ state, mishap: null }),
    subscribe: (f: () => void) => {
      changed = f;
      return () => {};
    },
  };
  kept(named('shared'));
  looks.mockClear();
  looks.mockResolvedValue({ lines: [], unreadable: [], waiting: 0 });
  const now = () => '2026-11-27T12:00:00.000Z';
  await new FolderKeeper({ store: store as unknown as LibraryStore, now, told: () => {} }).start();
  changed();
  expect(looks).not.toHaveBeenCalled();
  state = 'ready';
  changed();
  await expect.poll(() => looks.mock.calls.length, { timeout: 1_000 }).toBe(1);
  expect(looks.mock.calls[0]![3].quick).toBe(false);
});

it('looks again soon at what changes meanwhile, and less and less often while it goes on', async () => {
  let saved = () => {};
  const store = {
    snapshot: () => ({ state: 'ready', mishap: null }),
    subscribe: (changed: () => void) => {
      saved = changed;
      return () => {};
    },
  };
  const now = () => '2026-11-27T12:00:00.000Z';
  const keeper = new FolderKeeper({
    store: store as unknown as LibraryStore,
    now,
    told: () => {},
  });
  await keeper.start();
  looks.mockResolvedValue({ lines: [], unreadable: [], waiting: 1 });
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  await keeper.choose();
  const during = async (seconds: number) => {
    looks.mockClear();
    for (let s = 0; s < seconds; s++) {
      await vi.advanceTimersByTimeAsync(1_000);
      // What a look reads of the small database takes turns of its own.
      await new Promise((resolve) => setImmediate(resolve));
      await new Promise((resolve) => setImmediate(resolve));
      await new Promise((resolve) => setImmediate(resolve));
    }
    return looks.mock.calls.length;
  };
  const first = await during(15);
  expect(first).toBeGreaterThanOrEqual(2);
  const later = await during(600);
  expect(later).toBeLessThan(12);
  // A file was another than it was noted to be: only a look at the folder finds out.
  expect(looks.mock.calls.at(-1)![3].quick).toBe(false);
  // An edit is carried as soon as ever.
  saved();
  expect(await during(4)).toBeGreaterThanOrEqual(1);
  looks.mockResolvedValue({ lines: [], unreadable: [], waiting: 0 });
  await during(200);
  expect(await during(600)).toBe(0);
});

it('goes with another window that has chosen another folder, or none', async () => {
  const store = { snapshot: () => ({ state: 'ready', mishap: null }), subscribe: () => () => {} };
  const now = () => '2026-11-27T12:00:00.000Z';
  const keeper = new FolderKeeper({
    store: store as unknown as LibraryStore,
    now,
    told: () => {},
  });
  looks.mockClear();
  looks.mockResolvedValue({ lines: [], unreadable: [], waiting: 0 });
  await keeper.start();
  await keeper.choose();
  expect(looks).toHaveBeenCalledTimes(1);
  kept(named('other'));
  await keeper.look('quick');
  await expect.poll(() => keeper.get()).toMatchObject({ kind: 'in step', name: 'other' });
  expect(looks).toHaveBeenCalledTimes(2);
  kept(null);
  await keeper.look('whole');
  expect(keeper.get()).toEqual({ kind: 'none' });
  expect(looks).toHaveBeenCalledTimes(2);
});
