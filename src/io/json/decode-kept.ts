import type { KeptVersion } from '../../core/library/versions';
import { fail, ok, type Result } from '../../core/result';
import { decodePhrase } from './decode';
import { keptSchema } from './kept-schema';
import { structured } from './structured';
import { KEPT_MIGRATIONS } from './versions';

/**
 * An earlier version of a phrase from JSON text or a parsed value, its phrase migrated to the newest
 * version and checked. Never throws; time and memory are bounded (`LIMITS`).
 */
export function decodeKept(input: unknown): Result<KeptVersion> {
  const read = structured(input, KEPT_MIGRATIONS, keptSchema);
  if (!read.ok) return read;
  const phrase = decodePhrase(read.value.phrase);
  if (!phrase.ok) {
    const problems = phrase.problems.map((p) => ({ ...p, pointer: `/phrase${p.pointer ?? ''}` }));
    return { ok: false, problems };
  }
  const { kept } = read.value;
  const times = { '/kept': kept, '/phrase/meta/modified': phrase.value.meta.modified };
  for (const [pointer, time] of Object.entries(times)) {
    if (Number.isFinite(Date.parse(time))) continue;
    return fail({
      message: 'there is no such time',
      fix: 'Write one that is, like 2026-11-28T08:00:00Z.',
      pointer,
    });
  }
  return ok({ ...read.value, phrase: phrase.value });
}
