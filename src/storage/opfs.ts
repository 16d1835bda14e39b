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
      const names: string[] = [];
      for await (const key of (await folder()).keys()) names.push(key);
      return names;
    },
    async read(file) {
      const handle = await (await folder()).getFileHandle(file);
      return (await handle.getFile()).text();
    },
    async write(file, text) {
      const handle = await (await folder()).getFileHandle(file, { create: true });
      // Written beside the file, which it replaces on closing.
      const writable = await handle.createWritable();
      await writable.write(text);
      await writable.close();
    },
    async remove(file) {
      await (await folder()).removeEntry(file);
    },
  };
}
