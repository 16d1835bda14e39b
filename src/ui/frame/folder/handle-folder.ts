import type { Folder, Listed } from '../../../io/folder/ports';

/** So many files are looked at at a time. */
const AT_ONCE = 24;
/** What Chromium leaves of a file that was being written when it was killed; its name begins with ours. */
const LEFT_OVER = /\.[0-9a-f]{8}(-\d+)?\.(json|gone)(\.\d+)?\.crswap$/u;
/** Milliseconds after which no file is still being written, by whatever window or browser. */
const LONG_AGO = 3_600_000;

/** A folder that the person has chosen, as the browser gives it. */
export function handleFolder(root: FileSystemDirectoryHandle): Folder {
  const read = async (path: string): Promise<string | null> => {
    try {
      const file = await (await fileIn(root, path, false)).getFile();
      return new TextDecoder('utf-8', { fatal: true }).decode(await file.arrayBuffer());
    } catch (e) {
      if (isRefusal(e)) throw e;
      return null;
    }
  };
  return {
    read,
    async list(folders) {
      const found = await listIn(root, '');
      for (const name of folders) {
        const folder = await orNothing(root.getDirectoryHandle(name));
        if (folder !== null) found.push(...(await listIn(folder, `${name}/`)));
      }
      return found.sort((a, b) => (a.path < b.path ? -1 : 1));
    },
    async write(path, text, before) {
      const there = before === null ? await orNothing(fileIn(root, path, false)) : null;
      if (there !== null || (before !== null && (await read(path)) !== before)) return null;
      const handle = await fileIn(root, path, true);
      // Written beside the file, which it replaces on closing.
      let writable: FileSystemWritableFileStream | null = null;
      try {
        writable = await handle.createWritable();
        await writable.write(text);
        await writable.close();
      } catch (e) {
        await writable?.abort().catch(() => undefined);
        // Why it could not be written is what is to be said.
        if (before === null) await removeEmpty(root, path).catch(() => undefined);
        throw e;
      }
      return stampOf(await handle.getFile());
    },
    async remove(path, before) {
      if ((await read(path)) !== before) return false;
      const { folder, name } = await placeOf(root, path, false);
      await folder.removeEntry(name);
      return true;
    },
  };
}

/** What was made for a text that could not be written: it would look like a file that has half arrived. */
async function removeEmpty(root: FileSystemDirectoryHandle, path: string): Promise<void> {
  const { folder, name } = await placeOf(root, path, false);
  const { size } = await (await folder.getFileHandle(name)).getFile();
  // Whatever stands in it by now is somebody else's.
  if (size === 0) await folder.removeEntry(name);
}

async function listIn(folder: FileSystemDirectoryHandle, before: string): Promise<Listed[]> {
  const files: { path: string; handle: FileSystemFileHandle }[] = [];
  const left: { name: string; handle: FileSystemFileHandle }[] = [];
  for await (const [name, handle] of folder.entries()) {
    if (!(handle instanceof FileSystemFileHandle)) continue;
    if (before !== '' && LEFT_OVER.test(name)) left.push({ name, handle });
    else files.push({ path: `${before}${name}`, handle });
  }
  for (const { name, handle } of left) {
    const file = await orNothing(handle.getFile());
    if (file !== null && Date.now() - file.lastModified > LONG_AGO) {
      await orNothing(folder.removeEntry(name));
    }
  }
  const found: Listed[] = [];
  for (let at = 0; at < files.length; at += AT_ONCE) {
    const some = files.slice(at, at + AT_ONCE).map(async ({ path, handle }) => {
      // It may have gone meanwhile.
      const file = await orNothing(handle.getFile());
      return file === null ? [] : [{ path, stamp: stampOf(file) }];
    });
    found.push(...(await Promise.all(some)).flat());
  }
  return found;
}

function stampOf({ size, lastModified }: File): string {
  return `${size}:${lastModified}`;
}

async function placeOf(root: FileSystemDirectoryHandle, path: string, create: boolean) {
  const parts = path.split('/');
  const name = parts.pop()!;
  let folder = root;
  for (const part of parts) folder = await folder.getDirectoryHandle(part, { create });
  return { folder, name };
}

async function fileIn(
  root: FileSystemDirectoryHandle,
  path: string,
  create: boolean,
): Promise<FileSystemFileHandle> {
  const { folder, name } = await placeOf(root, path, create);
  return folder.getFileHandle(name, { create });
}

async function orNothing<T>(asked: Promise<T>): Promise<T | null> {
  try {
    return await asked;
  } catch (e) {
    if (isRefusal(e)) throw e;
    return null;
  }
}

/** The browser does not let us, any more or yet. */
export function isRefusal(e: unknown): boolean {
  return e instanceof DOMException && (e.name === 'NotAllowedError' || e.name === 'SecurityError');
}
