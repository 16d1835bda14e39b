/*
 * A device in a browser: the library and the keeper of its folder as the app has them, and nothing
 * else of the app. The folder is a directory of the private file system.
 */
import '../../../src/io/kinds/checks-at-hand';
import { KINDS } from '../../../src/io/kinds/kinds';
import { openLibrary } from '../../../src/storage';
import { FolderKeeper } from '../../../src/ui/frame/folder/keeper';

const shared = async () =>
  (await navigator.storage.getDirectory()).getDirectoryHandle('shared', { create: true });
window.showDirectoryPicker = shared;

const store = openLibrary();
/** How far the clock of this device is off, in milliseconds. */
const late = Number(new URLSearchParams(location.search).get('late') ?? 0);
const now = () => new Date(Date.now() + late).toISOString();
const keeper = new FolderKeeper({ store, now, told: () => undefined });

const kindOf = (key: string) => KINDS.find((k) => k.name === key.slice(0, key.indexOf(' ')))!;
const idOf = (key: string) => key.slice(key.indexOf(' ') + 1);

/** One thing as text, with the write that made it. */
async function held(key: string) {
  const [stored] = await store.of(kindOf(key)).load([idOf(key)]);
  return stored === undefined
    ? null
    : { text: JSON.stringify(stored.value), revision: stored.revision };
}

async function folderOf(path: string) {
  const parts = path.split('/');
  const name = parts.pop()!;
  let place = await shared();
  for (const part of parts) place = await place.getDirectoryHandle(part, { create: true });
  return { place, name };
}

async function readAll(): Promise<Record<string, string>> {
  const texts: Record<string, string> = {};
  const read = async (folder: FileSystemDirectoryHandle, before: string): Promise<void> => {
    for await (const [name, handle] of folder.entries()) {
      if (handle instanceof FileSystemDirectoryHandle) await read(handle, `${before}${name}/`);
      else if (!name.endsWith('.crswap')) {
        const file = await (handle as FileSystemFileHandle).getFile().catch(() => null);
        const text = await file?.text().catch(() => null);
        if (typeof text === 'string') texts[before + name] = text;
      }
    }
  };
  await read(await shared(), '');
  return texts;
}

const device = {
  opened: async (): Promise<string> => {
    const state = await store.opened();
    await keeper.start();
    return state;
  },
  choose: () => keeper.choose(),
  state: () => keeper.get(),
  look: (how: 'quick' | 'whole') => keeper.look(how),
  async all(): Promise<readonly (readonly [string, string])[]> {
    const all: [string, string][] = [];
    for (const kind of KINDS) {
      const records = store.of(kind);
      for (const { id, value } of await records.load(records.all().map((s) => s.id))) {
        all.push([`${kind.name} ${id}`, JSON.stringify(value)]);
      }
    }
    return all;
  },
  /** Puts a text in the place of another (null: nothing); whether it was acknowledged. */
  async put(key: string, before: string | null, text: string): Promise<boolean> {
    const was = await held(key);
    if ((was?.text ?? null) !== before) return false;
    const read = kindOf(key).decode(text);
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    const records = store.of(kindOf(key));
    const done = await records.save(read.value, was?.revision ?? null);
    if (done.kind === 'saved') return true;
    if (done.kind !== 'conflict') throw new Error(JSON.stringify(done));
    return false;
  },
  /** Removes what is there; its text, or null where nothing was. */
  async remove(key: string): Promise<string | null> {
    const was = await held(key);
    if (was === null) return null;
    const done = await store.of(kindOf(key)).remove([idOf(key)]);
    if (done.kind !== 'done') throw new Error(JSON.stringify(done));
    if (done.ids.length === 0) return null;
    const [gone] = await store.things.readRemoved([{ kind: kindOf(key), id: idOf(key) }]);
    return gone === null || gone === undefined ? was.text : JSON.stringify(gone.value);
  },
  /** Takes something back from what was removed; its text. */
  async restore(which: number): Promise<string | null> {
    const removed = [...store.things.removed()];
    const one = removed[which % Math.max(1, removed.length)];
    if (one === undefined) return null;
    const [gone] = await store.things.readRemoved([one]);
    const done = await store.things.restore([one]);
    if (done.kind !== 'done') throw new Error(JSON.stringify(done));
    return done.things.length === 0 || !gone ? null : JSON.stringify(gone.value);
  },
  readAll,
  /** What a file service does to the folder, if the file is still what it took it for. */
  async set(path: string, before: string | null, text: string | null): Promise<boolean> {
    const { place, name } = await folderOf(path);
    const handle = await place.getFileHandle(name).catch(() => null);
    const there = handle === null ? null : await (await handle.getFile()).text();
    if (there !== before) return false;
    if (text === null) await place.removeEntry(name).catch(() => undefined);
    else {
      const writable = await (await place.getFileHandle(name, { create: true })).createWritable();
      await writable.write(text);
      await writable.close();
    }
    return true;
  },
};

export type PageDevice = typeof device;
(window as unknown as { device: PageDevice }).device = device;
