import { fail, ok, type Result } from '../core/result';
import type { Flags } from './flags';

/** What the one file that a command writes may be called, and what to say where it is not. */
const WRITTEN = {
  lesson: {
    ending: /\.(?:html|json)$/iu,
    fix: 'Add -o and a name that ends in .html, or in .json to go on with it in the app.',
  },
  library: { ending: /\.json$/iu, fix: 'Add -o and a name that ends in .json.' },
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
