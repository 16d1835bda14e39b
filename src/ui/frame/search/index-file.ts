import { readCatalogue } from '../../../io/search-index/keep';

/*
 * The index on the disk: one file in the private file system, which can be thrown away at any time.
 * Whatever goes wrong here, the index is built anew from the library.
 */

const FOLDER = 'degreewise-search';
const FILE = 'index';

async function folder(): Promise<FileSystemDirectoryHandle> {
  const root = await navigator.storage.getDirectory();
  return root.getDirectoryHandle(FOLDER, { create: true });
}

/** Milliseconds after which a file system that does not answer is taken for none. */
const PATIENCE = 4_000;

/** The index as it was written last; null where there is none, none that is whole, or none that comes. */
export function readIndex(): Promise<ReturnType<typeof readCatalogue>> {
  return new Promise((resolve) => {
    const timer = setTimeout(() => resolve(null), PATIENCE);
    void read().then((found) => {
      clearTimeout(timer);
      resolve(found);
    });
  });
}

async function read(): Promise<ReturnType<typeof readCatalogue>> {
  try {
    const file = await (await (await folder()).getFileHandle(FILE)).getFile();
    return readCatalogue(new Uint8Array(await file.arrayBuffer()));
  } catch {
    return null;
  }
}

/** Written beside the file, which it replaces when all of it is there. */
export async function writeIndex(bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  try {
    await write(bytes);
  } catch (e) {
    if (!(e instanceof DOMException) || e.name !== 'TypeMismatchError') return;
    // Something else lies in its place, and nothing else of ours lies there: all of it can go.
    try {
      await (await navigator.storage.getDirectory()).removeEntry(FOLDER, { recursive: true });
      await write(bytes);
    } catch {
      // The next start reads the library instead.
    }
  }
}

/** Fails where there is no room, or no such file system. */
async function write(bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  const handle = await (await folder()).getFileHandle(FILE, { create: true });
  const writable = await handle.createWritable();
  try {
    await writable.write(bytes);
    await writable.close();
  } catch {
    // The next start reads the library instead.
    await writable.abort();
  }
}
