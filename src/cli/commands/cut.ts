import { type CutWay, cutPhrase } from '../../core/edit/cut';
import type { Phrase } from '../../core/phrase/types';
import { stemOf } from '../../io/file/formats';
import { encodePhrase } from '../../io/json';
import { libraryBytes } from '../../publish/publish';
import type { Source } from '../input';
import type { Shell } from '../shell';
import { count } from '../words';

/** How long pieces are cut, and where the phrases go. */
export interface CutOptions {
  readonly way: CutWay;
  /** A folder, or a library where it ends in `.json`. */
  readonly out: string;
  readonly force: boolean;
}

/** Every phrase of a file cut into phrases, in order. */
export function cutSource(shell: Shell, o: CutOptions, source: Source): readonly Phrase[] {
  const now = shell.io.now().toISOString();
  return source.phrases.flatMap((p) => cutPhrase(p, o.way, () => ({ id: shell.io.newId(), now })));
}

/** Writes what the files were cut into: a file a phrase, or one library of all. */
export async function writeCut(
  shell: Shell,
  o: CutOptions,
  cut: readonly { readonly path: string; readonly phrases: readonly Phrase[] }[],
): Promise<void> {
  const write = async (path: string, bytes: Uint8Array): Promise<boolean> => {
    const written = await shell.io.files.write(path, bytes, o.force);
    if (!written.ok) shell.refuse(path, written.problems);
    else if (written.value === 'taken') {
      shell.misuse({
        message: `there is a file '${path}' already`,
        fix: 'Add --force to replace it.',
      });
    } else return true;
    return false;
  };
  const all = cut.flatMap((c) => c.phrases);
  if (/\.json$/iu.test(o.out)) {
    if (await write(o.out, libraryBytes(all, []))) {
      shell.print(`wrote ${o.out}: ${count(all.length, 'phrase')}\n`);
    }
    return;
  }
  const folder = o.out.replace(/[/\\]+$/u, '');
  for (const { path, phrases } of cut) {
    const digits = String(phrases.length).length;
    for (const [i, p] of phrases.entries()) {
      const name = `${folder}/${stemOf(path)}-${String(i + 1).padStart(digits, '0')}.json`;
      const bytes = new TextEncoder().encode(encodePhrase(p));
      if (await write(name, bytes)) {
        shell.print(`wrote ${name}: ${p.meta.title}, ${count(p.bars.length, 'bar')}\n`);
      }
    }
  }
}
