import { besideId, fingerprint, type Mergeable } from '../merge';

/** What deciding asks of a kind of things besides what merging does. */
export interface Steppable<T> extends Mergeable<T> {
  /** The same, changed last at another time (ISO 8601 in UTC). */
  withModified(value: T, modified: string): T;
}

/** What a library and a folder had of a thing when they were in step last. */
export interface Seen {
  /** `versionOf` it; null where it had been removed. */
  readonly version: string | null;
  /** Versions that later ones took the place of, the latest last. */
  readonly past: readonly string[];
}

/** What one file says of a thing. */
export interface Filed<T> {
  /** null: it was removed. */
  readonly value: T | null;
  /** Versions that are past, as far as who wrote the file knew. */
  readonly past: readonly string[];
}

/** All that is known of one thing, the same id everywhere. */
export interface Sides<T> {
  /** null where the two were never in step. */
  readonly seen: Seen | null;
  /** What the library has now; null: nothing. */
  readonly library: T | null;
  /** What the folder has now, in any order. */
  readonly files: readonly Filed<T>[];
}

/** What both sides are to hold. */
export interface Decision<T> {
  /** What stands under the id from now on; null: it was removed, or never was. */
  readonly value: T | null;
  /** Versions that are kept beside it, under ids of their own. */
  readonly beside: readonly T[];
  /** What is past from now on, for the file and for `seen`. */
  readonly past: readonly string[];
  readonly library: 'stays' | 'is written' | 'is removed';
}

/** So many past versions are known of a thing; older ones are forgotten. */
export const MOST_PAST = 400;

/** Names a version by all that it holds: the same for the same content, wherever it is. */
export function versionOf(value: unknown): string {
  return fingerprint(JSON.stringify(value));
}

/**
 * What becomes of one thing of a library that a folder carries. A version lives until a later one was
 * made *of it*, or until it was removed; whoever makes one says which versions are past by that, so
 * that neither clocks nor the order in which files arrive matter. Of several versions that live the
 * one that was changed last keeps the id, and the others are kept beside it. What is missing in the
 * folder was not removed: it may be on its way.
 * @param now ISO 8601 in UTC; for what comes back after it was past.
 */
export function decide<T>(kind: Steppable<T>, sides: Sides<T>, now: string): Decision<T> {
  const { seen, library, files } = sides;
  const past = new Set([...files.flatMap((f) => f.past), ...(seen?.past ?? [])]);
  const had = library === null ? null : versionOf(library);
  // What the library has was made of what was seen, or that was removed from it.
  if (seen !== null && seen.version !== null && seen.version !== had) past.add(seen.version);
  const living = new Map<string, T>();
  for (const { value } of files) {
    if (value === null) continue;
    const version = versionOf(value);
    if (!past.has(version)) living.set(version, value);
  }
  if (library !== null && had !== null) {
    if (!past.has(had)) living.set(had, library);
    else if (seen === null ? living.size === 0 : seen.version !== had) {
      // It was undone, or taken back from what was removed: the same content, and yet a later version.
      const again = renewed(kind, library, past, now);
      living.set(versionOf(again), again);
    }
  }
  const lastFirst = [...living].sort(([v, a], [w, b]) => {
    const time = (value: T) => Date.parse(kind.identityOf(value).modified);
    return time(b) - time(a) || (v < w ? -1 : 1);
  });
  const [kept, ...others] = joined(kind, lastFirst, past, now);
  for (const [version] of others) past.add(version);
  const stands = kept?.[0] ?? null;
  return {
    value: kept?.[1] ?? null,
    beside: others.map(([, value]) => kind.withId(value, besideId(kind, value))),
    past: [...past].slice(-MOST_PAST),
    library: stands === had ? 'stays' : stands === null ? 'is removed' : 'is written',
  };
}

type Version<T> = readonly [version: string, value: T];

/** Versions of a kind that joins some of them; those that went into another are past by that. */
function joined<T>(
  kind: Steppable<T>,
  versions: readonly Version<T>[],
  past: Set<string>,
  now: string,
): readonly Version<T>[] {
  const { joining } = kind;
  if (joining === undefined || versions.length < 2) return versions;
  const groups = new Map<string, T>();
  for (const [, value] of versions) {
    const key = joining.key(value);
    const other = groups.get(key);
    groups.set(key, other === undefined ? value : joining.join(other, value));
  }
  const all = [...groups.values()].map((value): Version<T> => {
    // What came of them may have been there before.
    const fresh = past.has(versionOf(value)) ? renewed(kind, value, past, now) : value;
    return [versionOf(fresh), fresh];
  });
  const stays = new Set(all.map(([version]) => version));
  for (const [version] of versions) if (!stays.has(version)) past.add(version);
  return all;
}

/** The same content with a time at which it was never there. */
function renewed<T>(kind: Steppable<T>, value: T, past: ReadonlySet<string>, now: string): T {
  for (let time = Date.parse(now); ; time++) {
    const again = kind.withModified(value, new Date(time).toISOString());
    if (!past.has(versionOf(again))) return again;
  }
}
