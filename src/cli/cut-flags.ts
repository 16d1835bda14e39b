import type { CutWay } from '../core/edit/cut';
import { readLength } from '../core/phrase/read-length';
import { fail, ok, type Result } from '../core/result';
import type { CutOptions } from './commands/cut';
import { readWhole } from './flag-values';
import type { Flag, Flags } from './flags';

export const CUT: readonly Flag[] = [
  { name: 'bars', takes: 'value' },
  { name: 'rest', takes: 'value' },
  { name: 'out', short: 'o', takes: 'value' },
  { name: 'force', takes: 'nothing' },
];

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
  const rest = flags.values.get('rest');
  const least = readLength(rest ?? 'quarter')?.ticks ?? 0;
  if (least <= 0) {
    return fail({
      message: `--rest '${rest}' is no length`,
      fix: "Write eighth, 1/8, 'dotted quarter', half or whole.",
    });
  }
  if (bars.value !== undefined && rest !== undefined) {
    return fail({ message: '--bars and --rest say two ways to cut', fix: 'Leave one away.' });
  }
  const way: CutWay =
    bars.value === undefined ? { kind: 'rests', least } : { kind: 'bars', bars: bars.value };
  return ok({ way, out, force: flags.values.has('force') });
}
