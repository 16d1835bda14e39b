import type { Files } from './second-copy';

/**
 * A folder in the browser's private file system; null where the browser has none, or cannot write
 * there from a page. What it is for is a weakness of Chromium, which can.
 */
export function privateFolder(name: string): Files | null {
  const storage: StorageManager | undefined = navigator.storage;
  if (typeof storage?.getDirectory !== 'function') return null;
  if (typeof FileSystemFileHandle === 'undefined') return null;
  if (!('createWritable' in FileSystemFileHandle.prototype)) return null;
  let opened: Promise<FileSystemDirectoryHandle> | null = null;
  const folder = () => {
    opened ??= storage
      .getDirectory()
      .then((root) => root.getDirectoryHandle(name, { create: true }));
    return opened;
  };
  return {
    async list() {
      const entries: Promise<{ name: string; size: number }[]>[] = [];
      for await (const [key, handle] of (await folder()).entries()) {
        if (handle instanceof FileSystemFileHandle) entries.push(entryOf(key, handle));
      }
      return (await Promise.all(entries)).flat();
    },
    async read(file) {
      const handle = await (await folder()).getFileHandle(file);
      return (await handle.getFile()).text();
    },
    async write(file, pieces) {
      const handle = await (await folder()).getFileHandle(file, { create: true });
      // Written beside the file, which it replaces on closing. Until then a new file is there, empty.
      const writable = await handle.createWritable();
      try {
        for (const piece of pieces) await writable.write(piece);
        await writable.close();
      } catch (e) {
        // What was written beside the file would stay there. After some failures it is gone already.
        await writable.abort().catch(() => undefined);
        throw e;
      }
    },
    async remove(file) {
      await (await folder()).removeEntry(file);
    },
  };
}

/** Nothing for a file that another window removed since it was listed, or that cannot be read. */
async function entryOf(name: string, handle: FileSystemFileHandle) {
  try {
    return [{ name, size: (await handle.getFile()).size }];
  } catch {
    return [];
  }
}
