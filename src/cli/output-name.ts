import { fail, ok, type Result } from '../core/result';
import type { MergeTo } from './commands/merge';
import type { Flags } from './flags';

/** What the one file that a command writes may be called, and what to say where it is not. */
const WRITTEN = {
  lesson: {
    ending: /\.(?:html|json)$/iu,
    fix: 'Add -o and a name that ends in .html, or in .json to go on with it in the app.',
  },
} as const;

/** The name of the one file that a command writes, and whether it may replace one. */
export function readNameOf(
  what: keyof typeof WRITTEN,
  flags: Flags,
): Result<{ readonly out: string; readonly force: boolean }> {
  const out = flags.values.get('out') ?? '';
  const { ending, fix } = WRITTEN[what];
  if (ending.test(out)) return ok({ out, force: flags.values.has('force') });
  const message = out === '' ? 'where to write is missing' : `'${out}' is no name of a ${what}`;
  return fail({ message, fix });
}

/** Where `merge` writes: a library file, or a folder, which is a name without an ending. */
export function readMergeTo(flags: Flags): Result<MergeTo> {
  const out = flags.values.get('out') ?? '';
  const force = flags.values.has('force');
  if (/\.json$/iu.test(out)) return ok({ out, folder: false, force });
  const fix = 'Add -o and a name that ends in .json, or one without an ending for a folder.';
  if (out === '') return fail({ message: 'where to write is missing', fix });
  const name = out.replace(/[/\\]+$/u, '');
  // A name with an ending and a stroke behind it is a folder too.
  if (name !== '' && (name !== out || !/\.[^./\\]+$/u.test(name))) {
    return ok({ out: name, folder: true, force });
  }
  return fail({ message: `'${out}' is no name of a library`, fix });
}
