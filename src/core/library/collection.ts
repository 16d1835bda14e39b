import { headOf, type RecordBirth, type RecordHead, type RecordMeta } from '../phrase/record';

/** The version of the stored form that this code writes. */
export const COLLECTION_VERSION = 1;

/** What a collection is for. */
export const PURPOSES = ['any', 'lesson', 'student', 'form'] as const;
export type Purpose = (typeof PURPOSES)[number];

/** A collection holds no more phrases than a library file. */
export const MOST_IN_COLLECTION = 100_000;

/**
 * Phrases put together for something, in an order of their own: a week's lesson, a student, a song
 * form. It names its phrases and holds none of them: one that was removed keeps its place, so that
 * it is there again when it comes back. The stored JSON has exactly this shape.
 */
export interface Collection extends RecordHead<'degreewise-collection', typeof COLLECTION_VERSION> {
  readonly meta: RecordMeta & {
    /** What to remember about it. */
    readonly notes?: string;
  };
  readonly purpose: Purpose;
  /** Ids, each once. */
  readonly phrases: readonly string[];
}

/** A collection of phrases in the order given, not yet stored. */
export function newCollection(
  phrases: readonly string[],
  { purpose = 'any', ...birth }: RecordBirth & { readonly purpose?: Purpose },
): Collection {
  return {
    ...headOf('degreewise-collection', COLLECTION_VERSION, birth),
    purpose,
    phrases: [...new Set(phrases)],
  };
}

/** The collection with more phrases at its end; as it was where it has them all. */
export function withPhrases(c: Collection, ids: readonly string[]): Collection {
  const all = new Set([...c.phrases, ...ids]);
  return all.size === c.phrases.length ? c : { ...c, phrases: [...all] };
}

/** The collection without some phrases; as it was where it has none of them. */
export function withoutPhrases(c: Collection, ids: Iterable<string>): Collection {
  const gone = new Set(ids);
  const phrases = c.phrases.filter((id) => !gone.has(id));
  return phrases.length === c.phrases.length ? c : { ...c, phrases };
}

/**
 * The collection with a phrase at another place, counted from 0 and kept inside the list; as it was
 * where it does not hold the phrase, or has it there.
 */
export function movedTo(c: Collection, id: string, place: number): Collection {
  const from = c.phrases.indexOf(id);
  const to = Math.max(0, Math.min(c.phrases.length - 1, place));
  if (from < 0 || from === to) return c;
  const phrases = c.phrases.filter((p) => p !== id);
  phrases.splice(to, 0, id);
  return { ...c, phrases };
}

/** The collection with another title, notes or purpose; empty notes are left out. */
export function renamed(
  c: Collection,
  to: { readonly title?: string; readonly notes?: string; readonly purpose?: Purpose },
): Collection {
  const { notes, ...meta } = { ...c.meta, ...(to.title !== undefined && { title: to.title }) };
  const said = to.notes ?? notes ?? '';
  return {
    ...c,
    meta: { title: meta.title, ...(said !== '' && { notes: said }), ...timesOf(meta) },
    purpose: to.purpose ?? c.purpose,
  };
}

function timesOf({ created, modified }: { readonly created: string; readonly modified: string }) {
  return { created, modified };
}

/** The collection as it goes with some of its phrases; null where it has none of them. */
export function restrictedTo(c: Collection, ids: ReadonlySet<string>): Collection | null {
  const phrases = c.phrases.filter((id) => ids.has(id));
  if (phrases.length === 0) return null;
  return phrases.length === c.phrases.length ? c : { ...c, phrases };
}

/**
 * How two collections of one id become one: where they are called and meant the same, what was put
 * into either is in both. The one that was changed last says the order, and what it lacks follows. (A
 * collection that went out with some of its phrases and comes back must take nothing away.)
 */
export const COLLECTIONS_JOINED = {
  /** Collections of one id and one key are joined; others are versions, of which each is kept. */
  key({ phrases: _, id: __, meta: { modified: ___, ...meta }, ...rest }: Collection): string {
    return JSON.stringify([meta.title, meta.notes ?? '', meta.created, rest.parent, rest.purpose]);
  },
  /** The same whichever comes first. */
  join(a: Collection, b: Collection): Collection {
    const [last, other] = later(a, b) ? [a, b] : [b, a];
    return withPhrases(last, other.phrases);
  },
};

function later(a: Collection, b: Collection): boolean {
  const [x, y] = [Date.parse(a.meta.modified), Date.parse(b.meta.modified)];
  if (x !== y) return x > y;
  // A part that went out was not changed since.
  const more = a.phrases.length - b.phrases.length;
  return more === 0 ? JSON.stringify(a.phrases) <= JSON.stringify(b.phrases) : more > 0;
}
