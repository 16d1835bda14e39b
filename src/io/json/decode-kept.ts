import type { KeptThing, KeptVersion } from '../../core/library/versions';
import type { RecordHead } from '../../core/phrase/record';
import { fail, ok, type Result } from '../../core/result';
import { decodePhrase } from './decode';
import { decodeForm, decodeLesson } from './decode-lesson';
import { decodeCollection } from './decode-order';
import { decodePlan } from './decode-plan';
import { earlierSchema, keptSchema } from './kept-schema';
import { structured } from './structured';
import { EARLIER_MIGRATIONS, KEPT_MIGRATIONS } from './versions';

/**
 * An earlier version of a phrase from JSON text or a parsed value, its phrase migrated to the newest
 * version and checked. Never throws; time and memory are bounded (`LIMITS`).
 */
export function decodeKept(input: unknown): Result<KeptVersion> {
  const read = structured(input, KEPT_MIGRATIONS, keptSchema);
  if (!read.ok) return read;
  const phrase = within('phrase', read.value.kept, decodePhrase(read.value.phrase));
  return phrase.ok ? ok({ ...read.value, phrase: phrase.value }) : phrase;
}

type Decode = (input: unknown) => Result<RecordHead<string, number>>;

/** What else keeps earlier versions, by its format. */
const EARLIER: Readonly<Record<string, Decode>> = {
  'degreewise-lesson': decodeLesson,
  'degreewise-form': decodeForm,
  'degreewise-collection': decodeCollection,
  'degreewise-plan': decodePlan,
};

/** The same of anything else that keeps earlier versions. */
export function decodeEarlier(input: unknown): Result<KeptThing> {
  const read = structured(input, EARLIER_MIGRATIONS, earlierSchema);
  if (!read.ok) return read;
  const { format } = read.value.thing;
  const decode = Object.hasOwn(EARLIER, format) ? EARLIER[format] : undefined;
  if (decode === undefined) {
    return fail({
      message: `no earlier versions are kept of what has the format '${format.slice(0, 60)}'`,
      fix: `Take it out, or make it one of ${Object.keys(EARLIER).join(', ')}.`,
      pointer: '/thing/format',
    });
  }
  const thing = within('thing', read.value.kept, decode(read.value.thing));
  return thing.ok ? ok({ ...read.value, thing: thing.value }) : thing;
}

/** What was read of a field, with the places of what is wrong, and the times that thinning reckons with. */
function within<T extends RecordHead<string, number>>(
  field: string,
  kept: string,
  read: Result<T>,
): Result<T> {
  if (!read.ok) {
    const problems = read.problems.map((p) => ({ ...p, pointer: `/${field}${p.pointer ?? ''}` }));
    return { ok: false, problems };
  }
  const times = { '/kept': kept, [`/${field}/meta/modified`]: read.value.meta.modified };
  for (const [pointer, time] of Object.entries(times)) {
    if (Number.isFinite(Date.parse(time))) continue;
    return fail({
      message: 'there is no such time',
      fix: 'Write one that is, like 2026-11-28T08:00:00Z.',
      pointer,
    });
  }
  return read;
}
