import type { AsPlayed } from '../../core/heard/played';
import { fail, ok, type Result } from '../../core/result';
import { playedSchema } from './played-schema';
import { structured } from './structured';
import { PLAYED_MIGRATIONS } from './versions';

/** How a phrase was played, from JSON text or a parsed value. Never throws; time and memory are bounded (`LIMITS`). */
export function decodePlayed(input: unknown): Result<AsPlayed> {
  const read = structured(input, PLAYED_MIGRATIONS, playedSchema);
  if (!read.ok) return read;
  if (!Number.isFinite(Date.parse(read.value.kept))) {
    return fail({
      message: 'there is no such time',
      fix: 'Write one that is, like 2026-11-28T08:00:00Z.',
      pointer: '/kept',
    });
  }
  const { sounds } = read.value;
  for (const [i, { onset, end, pitches }] of sounds.entries()) {
    const before = sounds[i - 1]?.onset ?? 0;
    const isAscending = pitches.every(([at], k) => k === 0 || at >= pitches[k - 1]![0]);
    if (onset >= before && end >= onset && isAscending) continue;
    return fail({
      message: 'its times go back',
      fix: 'A sound begins no earlier than the one before, and ends no earlier than it begins; its pitches ascend in time.',
      pointer: `/sounds/${i}`,
    });
  }
  return ok(read.value);
}
