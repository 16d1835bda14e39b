import { fail, ok, type Result } from '../core/result';
import { readHow } from '../core/vary/read-how';
import type { VariationId } from '../core/vary/table';
import { readWhole } from './flag-values';
import type { Flag, Flags } from './flags';
import { type OutputOptions, readOutput } from './output-flags';

/** What `vary` is asked for. */
export type VaryCommand =
  | { readonly kind: 'list'; readonly json: boolean }
  | {
      readonly kind: 'vary';
      readonly files: readonly string[];
      readonly how: readonly VariationId[];
      readonly seed: number;
      readonly count: number;
      readonly json: boolean;
      readonly output: OutputOptions | null;
    };

/** The options of the command beside those of every command that reads and writes. */
export const VARY: readonly Flag[] = [
  { name: 'list', takes: 'nothing' },
  { name: 'how', takes: 'value' },
  { name: 'seed', takes: 'value' },
  { name: 'count', takes: 'value' },
  { name: 'json', takes: 'nothing' },
];

const MOST_RESULTS = 20;
const LARGEST_SEED = 2_147_483_647;

/** Reads the options of `vary` for some files. */
export function readVary(files: readonly string[], flags: Flags): Result<VaryCommand> {
  const text = flags.values.get('how');
  if (text === undefined) {
    return fail({
      message: 'how to vary is missing',
      fix: "Add --how and a name; 'degreewise vary --list' has them all.",
    });
  }
  const how = readHow(text);
  if (!how.ok) {
    return fail(...how.problems.map((p) => ({ ...p, message: `in --how: ${p.message}` })));
  }
  const seed = readWhole(flags, 'seed', 0, LARGEST_SEED);
  if (!seed.ok) return seed;
  const count = readWhole(flags, 'count', 1, MOST_RESULTS);
  if (!count.ok) return count;
  const output = readOutput(flags, ['seed']);
  if (!output.ok) return output;
  const json = flags.values.has('json');
  if (json && output.value !== null) {
    return fail({
      message: '--json prints and -o writes',
      fix: 'Use one of the two.',
    });
  }
  return ok({
    kind: 'vary',
    files,
    how: how.value,
    seed: seed.value ?? 0,
    count: count.value ?? (output.value === null ? 3 : 1),
    json,
    output: output.value,
  });
}
