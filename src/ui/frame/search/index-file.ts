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
    const handle = await (await folder()).getFileHandle(FILE, { create: true });
    const writable = await handle.createWritable();
    try {
      await writable.write(bytes);
      await writable.close();
    } catch {
      await writable.abort();
    }
  } catch {
    // No room, or no such file system: the next start reads the library instead.
  }
}
