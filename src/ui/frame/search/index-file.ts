import { readCatalogue } from '../../../io/search-index/keep';
import { INDEX_FOLDER, isFull, throwIndexAway } from '../../../storage/room';

/*
 * The index on the disk: one file in the private file system, which can be thrown away at any time.
 * Whatever goes wrong here, the index is built anew from the library.
 */

const FILE = 'index';

async function folder(): Promise<FileSystemDirectoryHandle> {
  const root = await navigator.storage.getDirectory();
  return root.getDirectoryHandle(INDEX_FOLDER, { create: true });
}

/** Milliseconds without a sign after which a file system is taken for none. */
const PATIENCE = 4_000;
/** Bytes that are read at a time: each is a sign, and a large index may take longer than the patience. */
const PIECE = 8 * 2 ** 20;

/** The index as it was written last; null where there is none, none that is whole, or none that comes. */
export function readIndex(): Promise<ReturnType<typeof readCatalogue>> {
  return new Promise((resolve) => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const answered = () => {
      clearTimeout(timer);
      timer = setTimeout(() => resolve(null), PATIENCE);
    };
    answered();
    void read(answered).then((found) => {
      clearTimeout(timer);
      resolve(found);
    });
  });
}

async function read(answered: () => void): Promise<ReturnType<typeof readCatalogue>> {
  try {
    const file = await (await (await folder()).getFileHandle(FILE)).getFile();
    const bytes = new Uint8Array(file.size);
    for (let at = 0; at < bytes.length; at += PIECE) {
      answered();
      bytes.set(new Uint8Array(await file.slice(at, at + PIECE).arrayBuffer()), at);
    }
    return readCatalogue(bytes);
  } catch {
    return null;
  }
}

/** Bytes that are left to the library, which cannot be made anew. */
const LEFT = 32 * 2 ** 20;

let writing: Promise<unknown> = Promise.resolve();

/**
 * Writes the index, one after the other: one that takes long would take the place of the next, or the room that the
 * next was found to lack.
 * @param make Called when it is its turn.
 * @returns false where there is too little room for it.
 */
export function writeIndex(make: () => Uint8Array<ArrayBuffer>): Promise<boolean> {
  const done = writing.then(() => writeOne(make()));
  writing = done.catch(() => undefined);
  return done;
}

/**
 * Written beside the file, which it replaces when all of it is there.
 * @returns false where there is too little room for it. The one that was there is thrown away where that is known
 * before; where the write itself meets the end of the room it stays as it was.
 */
async function writeOne(bytes: Uint8Array<ArrayBuffer>): Promise<boolean> {
  try {
    if (!(await hasRoom(bytes.length))) {
      await throwIndexAway().catch(() => false);
      // What was there may have been the want.
      if (!(await hasRoom(bytes.length))) return false;
    }
    return await write(bytes);
  } catch (e) {
    if (!(e instanceof DOMException) || e.name !== 'TypeMismatchError') return !isFull(e);
    // Something else lies in its place, and nothing else of ours lies there: all of it can go.
    try {
      await throwIndexAway();
      return await write(bytes);
    } catch (again) {
      // The next start reads the library instead.
      return !isFull(again);
    }
  }
}

/** Whether so many bytes leave the library enough; true where the browser does not tell. */
async function hasRoom(bytes: number): Promise<boolean> {
  try {
    const { usage, quota } = await navigator.storage.estimate();
    return usage === undefined || quota === undefined || quota - usage >= bytes + LEFT;
  } catch {
    return true;
  }
}

/** @returns false where there is no room. Fails where there is no such file system. */
async function write(bytes: Uint8Array<ArrayBuffer>): Promise<boolean> {
  const handle = await (await folder()).getFileHandle(FILE, { create: true });
  const writable = await handle.createWritable();
  try {
    await writable.write(bytes);
    await writable.close();
    return true;
  } catch (e) {
    // The next start reads the library instead. After some failures what was begun is gone already.
    await writable.abort().catch(() => undefined);
    return !isFull(e);
  }
}
