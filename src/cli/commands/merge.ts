import { type Merged, mergeLibraries } from '../../core/library/merge';
import type { Library, Phrase } from '../../core/phrase/types';
import { encodeLibrary } from '../../io/json';
import type { Shell } from '../shell';
import { count } from '../words';

/** Writes several collections as one library, and names what was there in several versions. */
export async function writeMerged(
  shell: Shell,
  collections: readonly (readonly Phrase[])[],
  out: string,
  force: boolean,
): Promise<void> {
  const merged: Merged = mergeLibraries(...collections);
  const library: Library = {
    format: 'degreewise-library',
    version: 1,
    phrases: merged.phrases,
  };
  const bytes = new TextEncoder().encode(encodeLibrary(library));
  const written = await shell.io.files.write(out, bytes, force);
  if (!written.ok) return shell.refuse(out, written.problems);
  if (written.value === 'taken') {
    return shell.misuse({
      message: `there is a file '${out}' already`,
      fix: 'Add --force to replace it.',
    });
  }
  shell.print(`wrote ${out}: ${count(merged.phrases.length, 'phrase')}\n`);
  for (const { title, versions } of merged.kept) {
    shell.remark(`'${title}' is there in ${versions} versions; all are kept\n`);
  }
}
