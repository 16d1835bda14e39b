import type { RecordHead } from '../phrase/record';
import type { Phrase } from '../phrase/types';
import { baseOf } from './merge';

/** Why an earlier version was kept. */
export type WhyKept =
  /** Something was changed after it had stood for a while. */
  | 'edit'
  /** An earlier version was put in its place. */
  | 'restore'
  /** One of two versions was chosen. */
  | 'merge';

/** An earlier version, without its content. */
export interface VersionMark {
  /** When something else took its place, in milliseconds since 1970. */
  readonly kept: number;
  /** When it was written itself. */
  readonly made: number;
  readonly why: WhyKept;
}

export const KEPT_VERSION = 1;

/** An earlier version of a phrase as a library file holds it. */
export interface KeptVersion {
  readonly format: 'degreewise-version';
  readonly version: typeof KEPT_VERSION;
  /** ISO 8601 in UTC: when something else took its place. */
  readonly kept: string;
  readonly why: WhyKept;
  /** As it stood; its id says of which phrase it is. */
  readonly phrase: Phrase;
}

export const EARLIER_VERSION = 1;

/** The same of anything else that keeps earlier versions: a lesson, a song form, a collection, a plan. */
export interface KeptThing {
  readonly format: 'degreewise-earlier';
  readonly version: typeof EARLIER_VERSION;
  readonly kept: string;
  readonly why: WhyKept;
  /** As it stood; its format and id say of what it is. */
  readonly thing: RecordHead<string, number>;
}

export type AnyKept = KeptVersion | KeptThing;

/** What stood there. */
export function valueOfKept(one: AnyKept): RecordHead<string, number> {
  return one.format === 'degreewise-version' ? one.phrase : one.thing;
}

/** The mark of a version out of a file. */
export function markOfKept(one: AnyKept): VersionMark {
  const { modified } = valueOfKept(one).meta;
  return { kept: Date.parse(one.kept), made: Date.parse(modified), why: one.why };
}

const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;

/** What follows another version within this time belongs to one sitting, which undoing takes apart. */
export const SITTING = 10 * MINUTE;
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

/** What is known of a thing without reading it. */
interface Named {
  readonly id: string;
  readonly parent: string | null;
  readonly created: string;
}

/**
 * The id of the phrase, or other thing, that this one is another version of: it came in under an id of its own, since
 * both were changed (a merge, a file, another window). It was made at the same moment, so what was
 * moved or varied is none, nor what somebody has kept beside it (`apart`).
 * @returns null where it is no other version; the phrase named need not be there.
 */
export function versionOf({ id, parent }: Named): string | null {
  const base = baseOf(id);
  return base !== id ? base : parent;
}

/** Whether two phrases are versions of one; see `versionOf`. */
export function areVersions(a: Named, b: Named): boolean {
  if (a.created !== b.created || a.id === b.id) return false;
  return a.parent === b.id || b.parent === a.id || baseOf(a.id) === baseOf(b.id);
}
