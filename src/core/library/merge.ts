import type { Phrase } from '../phrase/types';

/** What came of two or more lists of things of one kind in one. */
export interface Merged<T> {
  /** By id, and of one id the version that keeps it first. */
  readonly all: readonly T[];
  /** What was there in several versions; each is kept under an id of its own. */
  readonly kept: readonly {
    readonly id: string;
    readonly title: string;
    readonly versions: number;
  }[];
}

/** What merging asks of a kind of things. */
export interface Mergeable<T> {
  identityOf(value: T): { readonly id: string; readonly title: string; readonly modified: string };
  withId(value: T, id: string): T;
  /** What tells versions apart, where it is not reckoned from the value itself; see `phraseContent`. */
  contentOf?(value: T): string;
  /** Where versions with one key are joined instead of kept beside each other; see `Kind.joining`. */
  readonly joining?: {
    key(value: T): string;
    join(a: T, b: T): T;
  };
}

const PHRASE: Mergeable<Phrase> = {
  identityOf: ({ id, meta: { title, modified } }) => ({ id, title, modified }),
  withId: (p, id) => ({ ...p, id }),
};

/** Phrases of several libraries in one; see `mergeVersions`. */
export function mergeLibraries(...libraries: readonly (readonly Phrase[])[]): Merged<Phrase> {
  return mergeVersions(PHRASE, ...libraries);
}

/**
 * Lists in one: equal things once, versions of one that differ all of them. The version that was
 * changed last keeps the id; the others get one made of it and of what they hold, so that it comes
 * out the same in whatever order lists are merged, and however often.
 */
export function mergeVersions<T>(
  kind: Mergeable<T>,
  ...lists: readonly (readonly T[])[]
): Merged<T> {
  const byBase = new Map<string, T[]>();
  for (const value of lists.flat()) {
    const base = baseOf(kind.identityOf(value).id);
    const known = byBase.get(base);
    if (known === undefined) byBase.set(base, [value]);
    else known.push(value);
  }
  const withId = (value: T, id: string) =>
    kind.identityOf(value).id === id ? value : kind.withId(value, id);
  const lastFirst = ([a, p]: Version<T>, [b, q]: Version<T>): number => {
    const time = (value: T) => Date.parse(kind.identityOf(value).modified);
    return time(q) - time(p) || (a < b ? -1 : Number(a > b));
  };
  const all: T[] = [];
  const kept: Merged<T>['kept'][number][] = [];
  for (const id of [...byBase.keys()].sort()) {
    const values = byBase.get(id)!;
    const [only] = values;
    // Most are there once, and nothing has to be told apart.
    if (values.length === 1) {
      all.push(withId(only!, id));
      continue;
    }
    const [last, ...older] = [...versionsIn(kind, values)].sort(lastFirst);
    all.push(withId(last![1], id));
    for (const [content, p] of older) all.push(withId(p, `${id}${MARK}${fingerprint(content)}`));
    if (older.length > 0) {
      kept.push({ id, title: kind.identityOf(last![1]).title, versions: older.length + 1 });
    }
  }
  return { all, kept };
}

/** Values by what tells them apart, those that are alike joined. */
function versionsIn<T>(kind: Mergeable<T>, values: readonly T[]): ReadonlyMap<string, T> {
  const versions = new Map<string, T>();
  for (const value of values) {
    const content = kind.joining?.key(value) ?? contentOf(kind, value);
    const same = versions.get(content);
    versions.set(content, same === undefined ? value : (kind.joining?.join(same, value) ?? value));
  }
  return versions;
}

/** Parts the id of a thing from what tells its versions apart. */
const MARK = '.v-';

/** An id may have 200 characters, of which those that tell versions apart need room. */
const LONGEST = 180;

/** The id without what tells versions apart, short enough for that to be put behind it again. */
export function baseOf(id: string): string {
  const base = id.replace(/\.v-[0-9a-f]{16}$/u, '');
  return base.length <= LONGEST ? base : `${base.slice(0, LONGEST - 17)}-${fingerprint(base)}`;
}

type Version<T> = readonly [content: string, value: T];

/** Everything but the id, the same text for the same content whatever the order of its fields. */
function contentOf<T>(kind: Mergeable<T>, value: T): string {
  if (kind.contentOf !== undefined) return kind.contentOf(value);
  return JSON.stringify(kind.withId(value, ''), (_name, field: unknown) =>
    typeof field === 'object' && field !== null && !Array.isArray(field)
      ? Object.fromEntries(Object.entries(field).sort(([a], [b]) => (a < b ? -1 : Number(a > b))))
      : field,
  );
}

/** What tells versions of a phrase apart: everything but its id. */
export function phraseContent(p: Phrase): string {
  return contentOf(PHRASE, p);
}

/**
 * The id under which a version is kept beside the one that keeps the id: made of both, so that it is
 * the same wherever the two are found.
 */
export function besideId<T>(kind: Mergeable<T>, value: T): string {
  const base = baseOf(kind.identityOf(value).id);
  return `${base}${MARK}${fingerprint(contentOf(kind, value))}`;
}

/** Sixteen digits of FNV-1a, two of 32 bits each (G. Fowler, L. Noll and K.-P. Vo). */
export function fingerprint(text: string): string {
  let [a, b] = [0x811c_9dc5, 0x0135_32a7];
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    a = Math.imul(a ^ c, 0x0100_0193);
    b = Math.imul(b ^ (c + i), 0x0100_0193);
  }
  const digits = (n: number) => (n >>> 0).toString(16).padStart(8, '0');
  return digits(a) + digits(b);
}
