import type { CutWay } from '../core/edit/cut';
import { TICKS_PER_QUARTER } from '../core/phrase/types';
import { fail, ok, type Result } from '../core/result';
import type { CutOptions } from './commands/cut';
import { readChoice, readWhole } from './flag-values';
import type { Flag, Flags } from './flags';

export const CUT: readonly Flag[] = [
  { name: 'bars', takes: 'value' },
  { name: 'rest', takes: 'value' },
  { name: 'out', short: 'o', takes: 'value' },
  { name: 'force', takes: 'nothing' },
];

/** Rests at which a piece can be cut, in quarters. */
const RESTS = { eighth: 1 / 2, quarter: 1, half: 2, whole: 4 } as const;

export function readCut(flags: Flags): Result<CutOptions> {
  const out = flags.values.get('out') ?? '';
  if (out === '') {
    return fail({
      message: 'where to write is missing',
      fix: 'Add -o and a folder, or a name that ends in .json for a library.',
    });
  }
  const bars = readWhole(flags, 'bars', 1, 999);
  if (!bars.ok) return bars;
  const rest = readChoice(flags, 'rest', ['eighth', 'quarter', 'half', 'whole'] as const);
  if (!rest.ok) return rest;
  if (bars.value !== undefined && rest.value !== undefined) {
    return fail({ message: '--bars and --rest say two ways to cut', fix: 'Leave one away.' });
  }
  const least = RESTS[rest.value ?? 'quarter'] * TICKS_PER_QUARTER;
  const way: CutWay =
    bars.value === undefined ? { kind: 'rests', least } : { kind: 'bars', bars: bars.value };
  return ok({ way, out, force: flags.values.has('force') });
}
