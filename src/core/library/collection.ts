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
