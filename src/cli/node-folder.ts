import { readdir, readFile, realpath, rm, stat } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import type { Folder, Listed } from '../io/folder/ports';
import type { Files } from './io';

/** A folder as Node gives it. */
export async function nodeFolder(
  path: string,
  files: Files,
): Promise<{ readonly folder: Folder; readonly place: string }> {
  const place = await realpath(path).catch(() => resolve(path));
  const read = async (name: string): Promise<string | null> => {
    try {
      const bytes = await readFile(join(path, name));
      return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    } catch {
      return null;
    }
  };
  const folder: Folder = {
    list: (folders) => listIn(path, folders),
    read,
    async write(name, text, before) {
      const full = join(path, name);
      if (before !== null && (await read(name)) !== before) return null;
      const bytes = new TextEncoder().encode(text);
      const written = await files.write(full, bytes, before !== null);
      if (!written.ok) throw new Error(written.problems.map((p) => p.message).join('; '));
      return written.value === 'taken' ? null : stampOf(full);
    },
    async remove(name, before) {
      if ((await read(name)) !== before) return false;
      await rm(join(path, name));
      return true;
    },
  };
  return { folder, place };
}

async function listIn(root: string, folders: ReadonlySet<string>): Promise<readonly Listed[]> {
  const found: Listed[] = [];
  for (const here of ['', ...folders]) {
    const entries = await readdir(join(root, here), { withFileTypes: true }).catch((e: unknown) => {
      // A folder that is not there yet is an empty one.
      if (e instanceof Error && 'code' in e && e.code === 'ENOENT') return [];
      throw e;
    });
    for (const entry of entries) {
      const path = here === '' ? entry.name : `${here}/${entry.name}`;
      if (entry.isFile()) {
        const stamp = await stampOf(join(root, path)).catch(() => null);
        // It went away meanwhile.
        if (stamp !== null) found.push({ path, stamp });
      }
    }
  }
  return found.sort((a, b) => (a.path < b.path ? -1 : 1));
}

/** Its size, when it was written, and when the system last did anything to it. */
async function stampOf(path: string): Promise<string> {
  const { size, mtimeMs, ctimeMs, ino } = await stat(path);
  return [size, mtimeMs, ctimeMs, ino].join(':');
}
