import type { RecordHead } from '../phrase/record';
import {
  type AnyKept,
  type KeptThing,
  type KeptVersion,
  SITTING,
  type VersionMark,
} from './versions';

/** The versions of the stored forms that this code writes. */
export const KEPT_VERSION = 1 satisfies KeptVersion['version'];
export const EARLIER_VERSION = 1 satisfies KeptThing['version'];

/** What stood there. */
export function valueOfKept(one: AnyKept): RecordHead<string, number> {
  return one.format === 'degreewise-version' ? one.phrase : one.thing;
}

/** The mark of a version out of a file. */
export function markOfKept(one: AnyKept): VersionMark {
  const { modified } = valueOfKept(one).meta;
  return { kept: Date.parse(one.kept), made: Date.parse(modified), why: one.why };
}

const DAY = 24 * 60 * 60_000;

/** For so long all versions are kept, … */
const ALL_FOR = DAY;
/** … for so long the last of each day, and after that the last of each week. */
const DAILY_FOR = 30 * DAY;
/** Nothing keeps more; those made by a restore or a merge go last. */
export const MOST_VERSIONS = 200;

/**
 * Whether a version is worth keeping when something takes its place: not what stood a moment only, in
 * the midst of an edit.
 * @param last When the newest version that is kept was kept; null where there is none.
 */
export function isWorthKeeping(mark: VersionMark, last: number | null): boolean {
  if (mark.why !== 'edit' || last === null) return true;
  return mark.kept - mark.made >= SITTING || mark.kept - last >= SITTING;
}

/**
 * Which versions of one thing may go (ours): of the last 24 hours none, of 30 days before that all
 * but the last of each day, of what is older all but the last of each week. A version before a restore
 * or a merge stays. Days and weeks are those of UTC.
 * @returns those that go; thinning what is left again at the same time takes nothing more.
 */
export function versionsToDrop<M extends VersionMark>(marks: readonly M[], now: number): M[] {
  const newestFirst = [...marks].sort((a, b) => b.kept - a.kept || b.made - a.made);
  const taken = new Set<string>();
  const dropped: M[] = [];
  const left = newestFirst.filter((m) => {
    const age = now - m.kept;
    if (m.why !== 'edit' || age < ALL_FOR) return true;
    const day = Math.floor(m.kept / DAY);
    // The first of January 1970 was a Thursday; weeks begin on Monday.
    const span = age < DAILY_FOR ? `day ${day}` : `week ${Math.floor((day + 3) / 7)}`;
    if (taken.has(span)) dropped.push(m);
    taken.add(span);
    return dropped.at(-1) !== m;
  });
  const tooMany = left.length - MOST_VERSIONS;
  if (tooMany <= 0) return dropped;
  const leastFirst = [...left]
    .reverse()
    .sort((a, b) => Number(a.why !== 'edit') - Number(b.why !== 'edit'));
  return [...dropped, ...leastFirst.slice(0, tooMany)];
}
