import { formatOfName } from '../../../io/file/formats';

/**
 * The files among what was dropped, with those in folders and in the folders in them, by name. Of a
 * folder only files whose ending is one that is read, and none that is hidden; what cannot be opened is
 * left out.
 */
export async function droppedFiles(entries: readonly FileSystemEntry[]): Promise<readonly File[]> {
  const files: File[] = [];
  for (const entry of entries) {
    if (isFile(entry)) files.push(...(await fileOf(entry)));
    else if (isFolder(entry)) files.push(...(await filesIn(entry)));
  }
  return files;
}

async function filesIn(folder: FileSystemDirectoryEntry): Promise<readonly File[]> {
  const files: File[] = [];
  const inside = [...(await entriesIn(folder))].sort((a, b) => (a.name < b.name ? -1 : 1));
  for (const entry of inside) {
    if (entry.name.startsWith('.')) continue;
    if (isFolder(entry)) files.push(...(await filesIn(entry)));
    else if (isFile(entry) && formatOfName(entry.name) !== null) {
      files.push(...(await fileOf(entry)));
    }
  }
  return files;
}

/** All of them: a browser gives a hundred or so at a time. */
async function entriesIn(folder: FileSystemDirectoryEntry): Promise<readonly FileSystemEntry[]> {
  const reader = folder.createReader();
  const all: FileSystemEntry[] = [];
  for (;;) {
    const some = await new Promise<readonly FileSystemEntry[]>((resolve) => {
      reader.readEntries(resolve, () => resolve([]));
    });
    if (some.length === 0) return all;
    all.push(...some);
  }
}

function fileOf(entry: FileSystemFileEntry): Promise<readonly File[]> {
  return new Promise((resolve) => {
    entry.file(
      (file) => resolve([file]),
      () => resolve([]),
    );
  });
}

const isFile = (e: FileSystemEntry): e is FileSystemFileEntry => e.isFile;
const isFolder = (e: FileSystemEntry): e is FileSystemDirectoryEntry => e.isDirectory;
