import type { Phrase } from '../core/phrase/types';
import { nextRevision, type Records } from './backend';
import { isRecord, type PhraseRecord, readRecord } from './record';
import type { Added, Conflict, Revision, StoredPhrase } from './types';

/** A phrase that was checked, with its text. */
export interface Prepared {
  readonly phrase: Phrase;
  readonly text: string;
}

export interface PreparedSave extends Prepared {
  readonly base: Revision | null;
}

/** A change that a transaction made to one record, for the snapshot of this window. */
export type Change =
  | { readonly kind: 'put'; readonly stored: StoredPhrase }
  | { readonly kind: 'removed'; readonly id: string; readonly revision: Revision }
  | { readonly kind: 'gone'; readonly id: string };

/** What a transaction returns: its answer, and what it changed. */
export interface Written<T> {
  readonly value: T;
  readonly changes: readonly Change[];
}

const nothing = <T>(value: T): Written<T> => ({ value, changes: [] });

/** How long a removed phrase can be brought back: 30 days, in milliseconds. */
export const REMOVED_KEPT = 30 * 24 * 60 * 60 * 1000;

/*
 * Each of these runs inside one transaction and awaits nothing but its records. All questions come
 * before the first write, so that an answer of 'no' leaves nothing half done.
 */

/**
 * Writes all of them if none was written since its base. What is there already word for word counts
 * as saved, whoever wrote it.
 */
export async function saveItems(
  records: Records,
  items: readonly PreparedSave[],
): Promise<Written<readonly StoredPhrase[] | readonly Conflict[]>> {
  const found = await Promise.all(items.map((i) => records.get(i.phrase.id)));
  const verdicts = items.map((item, i) => judge(item, found[i]));
  const conflicts = verdicts.flatMap((v) => (v.kind === 'conflict' ? [v.conflict] : []));
  if (conflicts.length > 0) return nothing(conflicts);
  const written = await putAll(
    records,
    items.filter((_, i) => verdicts[i]?.kind === 'free'),
    false,
  );
  const stored = written.value.values();
  return {
    value: verdicts.map((v) => (v.kind === 'same' ? v.stored : stored.next().value!)),
    changes: [
      ...verdicts.flatMap((v) =>
        v.kind === 'same' ? [{ kind: 'put', stored: v.stored } as const] : [],
      ),
      ...written.changes,
    ],
  };
}

/** Whether a result of `saveItems` is a list of conflicts: it is then never empty. */
export function areConflicts(
  value: readonly StoredPhrase[] | readonly Conflict[],
): value is readonly Conflict[] {
  return value[0] !== undefined && 'kind' in value[0];
}

/** Adds phrases, never over one that is there nor over one another. */
export async function addPhrases(
  records: Records,
  phrases: readonly Prepared[],
  copyOf: (phrase: Phrase) => Prepared,
): Promise<Written<readonly Added[]>> {
  const found = await Promise.all(phrases.map((p) => records.get(p.phrase.id)));
  const taken = new Map<string, Taken>();
  for (const [i, { phrase }] of phrases.entries()) {
    const there = takenBy(phrase.id, found[i]);
    if (there !== null) taken.set(phrase.id, there);
  }
  const items: Prepared[] = [];
  const plan = phrases.map((given) => {
    const id = given.phrase.id;
    const there = taken.get(id);
    if (there !== undefined && there.text === given.text) return { kind: 'same', there } as const;
    const item = there === undefined ? given : copyOf(given.phrase);
    const at = items.push(item) - 1;
    if (there !== undefined) return { kind: 'copied', at, from: id } as const;
    taken.set(id, { text: given.text, at });
    return { kind: 'added', at } as const;
  });
  const written = await putAll(records, items, false);
  const stored = (at: number) => written.value[at]!;
  return {
    value: plan.map((x): Added => {
      if (x.kind === 'added') return { kind: 'added', stored: stored(x.at) };
      if (x.kind === 'copied') return { kind: 'copied', stored: stored(x.at), from: x.from };
      return { kind: 'same', stored: 'at' in x.there ? stored(x.there.at) : x.there.stored };
    }),
    changes: written.changes,
  };
}

/** What has an id already: a stored phrase, something damaged (no text), or one added just before. */
type Taken =
  | { readonly text: string; readonly stored: StoredPhrase }
  | { readonly text: null; readonly at: -1 }
  | { readonly text: string; readonly at: number };

function takenBy(id: string, there: unknown): Taken | null {
  if (there === undefined) return null;
  const read = readRecord({ key: id, value: there });
  if (read.kind === 'removed') return null;
  if (read.kind === 'problem' || !isRecord(there, id)) return { text: null, at: -1 };
  return { text: there.text, stored: read.stored };
}

/**
 * Lays the samples in, unless that was ever done. A sample whose id is taken is left out.
 * @returns null when it was done before.
 */
export async function seed(
  records: Records,
  samples: readonly Prepared[],
  now: number,
): Promise<Written<readonly StoredPhrase[] | null>> {
  const [before, ...found] = await Promise.all([
    records.meta('samples'),
    ...samples.map((s) => records.get(s.phrase.id)),
  ]);
  if (before !== undefined) return nothing(null);
  const free = samples.filter((_, i) => found[i] === undefined);
  const written = await putAll(records, free, true);
  await records.setMeta('samples', now);
  return written;
}

/**
 * Marks phrases as removed; their text stays.
 * @param only Which of the records may be removed; by default every phrase that is there.
 */
export async function removePhrases(
  records: Records,
  ids: readonly string[],
  now: number,
  only: (record: PhraseRecord) => boolean = () => true,
): Promise<Written<readonly string[]>> {
  return rewrite(records, ids, (r) =>
    r.removed === undefined && only(r) ? { ...r, removed: now } : null,
  );
}

/** Brings removed phrases back as they were. */
export async function restorePhrases(
  records: Records,
  ids: readonly string[],
): Promise<Written<readonly string[]>> {
  return rewrite(records, ids, (r) => {
    if (r.removed === undefined) return null;
    const { removed: _, ...rest } = r;
    return rest;
  });
}

/**
 * Deletes records for good, if they still are what no phrase can be read from.
 * @param unreadable Those that the browser failed to give: asking again would end the transaction.
 */
export async function discardDamaged(
  records: Records,
  keys: readonly string[],
  unreadable: ReadonlySet<string>,
): Promise<Written<readonly string[]>> {
  const found = await Promise.all(
    keys.map((k) => (unreadable.has(k) ? undefined : records.get(k))),
  );
  const bad = keys.filter((key, i) => {
    const value = found[i];
    if (value === undefined) return unreadable.has(key);
    return readRecord({ key, value }).kind === 'problem';
  });
  await Promise.all(bad.map((k) => records.delete(k)));
  return { value: bad, changes: bad.map((id) => ({ kind: 'gone', id })) };
}

/** Deletes phrases whose time to be restored is over. */
export async function purgeRemoved(
  records: Records,
  ids: readonly string[],
  now: number,
): Promise<Written<readonly string[]>> {
  const found = await Promise.all(ids.map((id) => records.get(id)));
  const old = ids.filter((id, i) => {
    const r = found[i];
    return isRecord(r, id) && r.removed !== undefined && isOver(r.removed, now);
  });
  await Promise.all(old.map((id) => records.delete(id)));
  return nothing(old);
}

/** Whether a phrase removed at `removed` is no longer kept at `now`, both in ms since 1970. */
export function isOver(removed: number, now: number): boolean {
  return now - removed > REMOVED_KEPT;
}

async function putAll(
  records: Records,
  items: readonly Prepared[],
  sample: boolean,
): Promise<Written<readonly StoredPhrase[]>> {
  if (items.length === 0) return nothing([]);
  const first = await nextRevision(records);
  const stored = items.map(({ phrase }, i) => ({ phrase, revision: first + i, sample }));
  await Promise.all([
    ...items.map(({ phrase, text }, i) =>
      records.put({ id: phrase.id, revision: first + i, text, ...(sample && { sample: true }) }),
    ),
    records.setMeta('sequence', first + items.length - 1),
  ]);
  return { value: stored, changes: stored.map((s) => ({ kind: 'put', stored: s })) };
}

/** Writes the records anew that `change` returns something for. */
async function rewrite(
  records: Records,
  ids: readonly string[],
  change: (record: PhraseRecord) => PhraseRecord | null,
): Promise<Written<readonly string[]>> {
  const found = await Promise.all(ids.map((id) => records.get(id)));
  const changed = ids.flatMap((id, i) => {
    const record = found[i];
    return (isRecord(record, id) ? change(record) : null) ?? [];
  });
  if (changed.length === 0) return nothing([]);
  const first = await nextRevision(records);
  const written = changed.map((r, i) => ({ ...r, revision: first + i }));
  await Promise.all([
    ...written.map((r) => records.put(r)),
    records.setMeta('sequence', first + written.length - 1),
  ]);
  return { value: written.map((r) => r.id), changes: written.map(changeOf) };
}

/** What a record now says, for the snapshot. */
function changeOf(record: PhraseRecord): Change {
  const read = readRecord({ key: record.id, value: record });
  if (read.kind === 'phrase') return { kind: 'put', stored: read.stored };
  return { kind: 'removed', id: record.id, revision: record.revision };
}

type Verdict =
  | { readonly kind: 'free' }
  | { readonly kind: 'same'; readonly stored: StoredPhrase }
  | { readonly kind: 'conflict'; readonly conflict: Conflict };

function judge(item: PreparedSave, there: unknown): Verdict {
  const id = item.phrase.id;
  const unless = (allowed: boolean, conflict: Conflict): Verdict =>
    allowed ? { kind: 'free' } : { kind: 'conflict', conflict };
  if (there === undefined) return unless(item.base === null, { kind: 'missing', id });
  const read = readRecord({ key: id, value: there });
  if (read.kind === 'problem') return unless(false, { kind: 'damaged', id, problem: read.problem });
  if (read.kind === 'removed') {
    const { revision } = read;
    return unless(item.base === revision, { kind: 'removed', id, revision });
  }
  const theirs = read.stored;
  if (isRecord(there, id) && there.text === item.text) {
    return { kind: 'same', stored: { ...theirs, phrase: item.phrase } };
  }
  return unless(item.base === theirs.revision, { kind: 'changed', id, theirs });
}
