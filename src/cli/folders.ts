import { formatOfName } from '../io/file/formats';
import type { Shell } from './shell';

/** Files as they are, folders as the files in them whose ending is one that is read. */
export async function filesIn(shell: Shell, paths: readonly string[]): Promise<readonly string[]> {
  const files: string[] = [];
  for (const path of paths) {
    if (path === '-' || (await shell.io.files.kindOf(path)) !== 'folder') {
      files.push(path);
      continue;
    }
    const listed = await shell.io.files.list(path);
    if (listed.ok) files.push(...listed.value.filter((f) => formatOfName(f) !== null));
    else shell.refuse(path, listed.problems);
  }
  return files;
}
