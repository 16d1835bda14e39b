import { besideId, fingerprint, type Mergeable } from '../merge';

/** What deciding asks of a kind of things besides what merging does. */
export interface Steppable<T> extends Mergeable<T> {
  /** The same, changed last at another time (ISO 8601 in UTC). */
  withModified(value: T, modified: string): T;
  /** The same as older programs keep it, which name its version by that (`versionOf`). */
  olderForms(value: T): readonly T[];
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
 * What is past, but for other names of the version that says so: a program that takes a thing into its own form took the name
 * that an older one gives the same for a version before.
 */
export function pastBut(names: readonly string[], past: readonly string[]): readonly string[] {
  return past.some((p) => names.includes(p)) ? past.filter((p) => !names.includes(p)) : past;
}

/**
 * What becomes of one thing of a library that a folder carries. A version lives until a later one was
 * made *of it*, or until it was removed; whoever makes one says which versions are past by that, so
 * that neither clocks nor the order in which files arrive matter. An older program says so of a version by the name that it has in
 * its own form. Of several versions that live the
 * one that was changed last keeps the id, and the others are kept beside it. What is missing in the
 * folder was not removed: it may be on its way.
 * @param now ISO 8601 in UTC; for what comes back after it was past.
 */
export function decide<T>(kind: Steppable<T>, sides: Sides<T>, now: string): Decision<T> {
  const { seen, library, files } = sides;
  const names = new Map<string, readonly string[]>();
  // Where nothing is known of other versions, no name can be of one.
  const isFirst = seen === null && files.every((f) => f.past.length === 0);
  const named = (value: T): string => {
    const version = versionOf(value);
    if (!names.has(version)) {
      names.set(version, isFirst ? [] : kind.olderForms(value).map(versionOf));
    }
    return version;
  };
  const had = library === null ? null : named(library);
  const filed = files.map(({ value, past }) => {
    const version = value === null ? null : named(value);
    return { value, version, past: pastBut(names.get(version ?? '') ?? [], past) };
  });
  const seenPast = pastBut(names.get(seen?.version ?? '') ?? [], seen?.past ?? []);
  const past = new Set([...filed.flatMap((f) => f.past), ...seenPast]);
  const isHad = (version: string | null): boolean =>
    version === had || (had !== null && version !== null && names.get(had)!.includes(version));
  // What the library has was made of what was seen, or that was removed from it.
  if (seen !== null && seen.version !== null && !isHad(seen.version)) past.add(seen.version);
  // Where an older program says it, under the name that it has there.
  for (const [version, older] of names) if (older.some((name) => past.has(name))) past.add(version);
  const living = new Map<string, T>();
  for (const { value, version } of filed) {
    if (value !== null && version !== null && !past.has(version)) living.set(version, value);
  }
  if (library !== null && had !== null) {
    if (!past.has(had)) living.set(had, library);
    else if (seen === null ? living.size === 0 : !isHad(seen.version)) {
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
