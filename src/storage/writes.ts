import type { AnyKind } from '../io/kinds/kind';
import { withValue } from './at-hand';
import { nextRevision, type Records } from './backend';
import { inPieces } from './pieces';
import { type Item, isRecord, readRecord, type StoredRecord } from './record';
import { sealOf } from './seal';
import type { Added, Conflict, Revision, Stored } from './types';

/** Something that was checked, with its key and its text. */
export interface Prepared {
  readonly kind: AnyKind;
  readonly key: string;
  readonly id: string;
  readonly value: unknown;
  readonly text: string;
}

export interface PreparedSave extends Prepared {
  readonly base: Revision | null;
  /** The revision in which this window has read it; null where it has not, or could not. */
  readonly known: Revision | null;
}

/** A change that a transaction made to one record, for the snapshot of this window. */
export type Change =
  | { readonly kind: 'put'; readonly item: Item }
  /** Brought back; `before` is the revision of the record that said it was removed. */
  | { readonly kind: 'restored'; readonly record: StoredRecord; readonly before: Revision }
  | {
      readonly kind: 'removed';
      readonly key: string;
      readonly revision: Revision;
      /** The revision of what was removed. */
      readonly before: Revision;
    }
  | { readonly kind: 'gone'; readonly key: string };

/** What a transaction returns: its answer, and what it changed. */
export interface Written<T> {
  readonly value: T;
  readonly changes: readonly Change[];
  /** What stood in the place of what was saved, for the earlier versions. */
  readonly replaced?: readonly StoredRecord[];
}

type AnyStored = Stored<unknown>;

/** A value, with nothing written. */
export const nothing = <T>(value: T): Written<T> => ({ value, changes: [] });

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
): Promise<Written<readonly AnyStored[] | readonly Conflict<AnyStored>[]>> {
  const found = await inPieces(items, (i) => records.get(i.key));
  const verdicts = items.map((item, i) => judge(item, found[i]));
  const conflicts = verdicts.flatMap((v) => (v.kind === 'conflict' ? [v.conflict] : []));
  if (conflicts.length > 0) return nothing(conflicts);
  const written = await putAll(
    records,
    items.filter((_, i) => verdicts[i]?.kind === 'free'),
    false,
  );
  const put = written.value.values();
  const all = verdicts.map((v) => (v.kind === 'same' ? v.item : put.next().value!));
  return {
    value: all.map((i) => i.stored),
    changes: all.map((item) => ({ kind: 'put', item })),
    replaced: items.flatMap(({ key }, i) => {
      const there = found[i];
      return verdicts[i]?.kind === 'free' && isRecord(there, key) ? there : [];
    }),
  };
}

/** Whether a result of `saveItems` is a list of conflicts: it is then never empty. */
export function areConflicts(
  value: readonly AnyStored[] | readonly Conflict<AnyStored>[],
): value is readonly Conflict<AnyStored>[] {
  return value[0] !== undefined && 'kind' in value[0];
}

/**
 * Adds what comes from outside, never over what is there nor over one another.
 * @param copyOf The same under a new id.
 * @param referring The same with new ids for what it names, as far as they are told.
 */
export async function addItems(
  records: Records,
  given: readonly Prepared[],
  copyOf: (item: Prepared) => Prepared,
  referring: (item: Prepared, renamed: ReadonlyMap<string, string>) => Prepared = (item) => item,
  before: ReadonlyMap<string, string> = new Map(),
): Promise<Written<readonly Added<AnyStored>[]>> {
  const renamed = new Map(before);
  const found = await inPieces(given, (p) => records.get(p.key));
  const taken = new Map<string, Taken>();
  for (const [i, item] of given.entries()) {
    const there = takenBy(item, found[i]);
    if (there !== null) taken.set(item.key, there);
  }
  const items: Prepared[] = [];
  const plan = given.map((as) => {
    const one = referring(as, renamed);
    const there = taken.get(one.key);
    if (there !== undefined && there.text === one.text) return { kind: 'same', there } as const;
    const item = there === undefined ? one : copyOf(one);
    const at = items.push(item) - 1;
    if (there !== undefined) renamed.set(nameOf(one.kind.name, one.id), item.id);
    if (there !== undefined) return { kind: 'copied', at, from: one.id } as const;
    taken.set(one.key, { text: one.text, at });
    return { kind: 'added', at } as const;
  });
  const written = await putAll(records, items, false);
  const stored = (at: number) => written.value[at]!.stored;
  return {
    value: plan.map((x): Added<AnyStored> => {
      if (x.kind === 'added') return { kind: 'added', stored: stored(x.at) };
      if (x.kind === 'copied') return { kind: 'copied', stored: stored(x.at), from: x.from };
      return { kind: 'same', stored: 'at' in x.there ? stored(x.there.at) : x.there.stored };
    }),
    changes: written.changes,
  };
}

/** The name of a thing in a file, for what it is called in the library. */
export function nameOf(kind: string, id: string): string {
  return `${kind} ${id}`;
}

/** What has an id already: a stored thing, something damaged (no text), or one added just before. */
type Taken =
  | { readonly text: string; readonly stored: AnyStored }
  | { readonly text: null; readonly at: -1 }
  | { readonly text: string; readonly at: number };

function takenBy({ key, kind }: Prepared, there: unknown): Taken | null {
  if (there === undefined) return null;
  const read = readRecord({ key, value: there }, [kind]);
  if (read.kind === 'removed') return null;
  if (read.kind === 'problem' || !isRecord(there, key)) return { text: null, at: -1 };
  return { text: there.text, stored: read.item.stored };
}

/**
 * Lays the samples in, unless that was ever done. A sample whose id is taken is left out.
 * @returns null when it was done before.
 */
export async function seed(
  records: Records,
  samples: readonly Prepared[],
  now: number,
): Promise<Written<readonly AnyStored[] | null>> {
  const [before, ...found] = await Promise.all([
    records.meta('samples'),
    ...samples.map((s) => records.get(s.key)),
  ]);
  if (before !== undefined) return nothing(null);
  const free = samples.filter((_, i) => found[i] === undefined);
  const { value, changes } = await putAll(records, free, true);
  await records.setMeta('samples', now);
  return { value: value.map((i) => i.stored), changes };
}

/**
 * Marks records as removed; their text stays.
 * @param only Which of the records may be removed; by default everything that is there.
 * @returns the keys of those that were.
 */
export async function removeRecords(
  records: Records,
  keys: readonly string[],
  now: number,
  only: (record: StoredRecord) => boolean = () => true,
): Promise<Written<readonly string[]>> {
  const written = await rewrite(records, keys, (r) =>
    r.removed === undefined && only(r) ? { ...r, removed: now } : null,
  );
  return {
    value: written.map((w) => w.record.id),
    changes: written.map(({ record, before }) => {
      return { kind: 'removed', key: record.id, revision: record.revision, before };
    }),
  };
}

/** Brings removed records back as they were. @returns the keys of those that were brought back. */
export async function restoreRecords(
  records: Records,
  keys: readonly string[],
): Promise<Written<readonly string[]>> {
  const written = await rewrite(records, keys, (r) => {
    if (r.removed === undefined) return null;
    const { removed: _, ...rest } = r;
    return rest;
  });
  return {
    value: written.map((w) => w.record.id),
    changes: written.map((w) => ({ kind: 'restored', ...w })),
  };
}

/**
 * Deletes records for good, if they still are what nothing can be read from.
 * @param unreadable Those that the browser failed to give: asking again would end the transaction.
 */
export async function discardDamaged(
  records: Records,
  keys: readonly string[],
  unreadable: ReadonlySet<string>,
  kinds: readonly AnyKind[],
): Promise<Written<readonly string[]>> {
  const found = await inPieces(keys, (k) => (unreadable.has(k) ? undefined : records.get(k)));
  const bad = keys.filter((key, i) => {
    const value = found[i];
    if (value === undefined) return unreadable.has(key);
    return readRecord({ key, value }, kinds).kind === 'problem';
  });
  await inPieces(bad, (k) => records.delete(k));
  return { value: bad, changes: bad.map((key) => ({ kind: 'gone', key })) };
}

/** Deletes records that were added a moment ago, as far as they are still in that revision. */
export async function withdrawRecords(
  records: Records,
  added: readonly { readonly key: string; readonly revision: Revision }[],
): Promise<Written<readonly string[]>> {
  const found = await inPieces(added, ({ key }) => records.get(key));
  const gone = added.flatMap(({ key, revision }, i) => {
    const r = found[i];
    return isRecord(r, key) && r.revision === revision ? [key] : [];
  });
  await inPieces(gone, (k) => records.delete(k));
  return { value: gone, changes: gone.map((key) => ({ kind: 'gone', key })) };
}

/** Deletes what was removed, whenever that was. @returns the keys of what is gone. */
export async function forgetRemoved(
  records: Records,
  keys: readonly string[],
): Promise<Written<readonly string[]>> {
  const found = await inPieces(keys, (k) => records.get(k));
  const gone = keys.filter((key, i) => {
    const r = found[i];
    return isRecord(r, key) && r.removed !== undefined;
  });
  await inPieces(gone, (k) => records.delete(k));
  return { value: gone, changes: gone.map((key) => ({ kind: 'gone', key })) };
}

async function putAll(
  records: Records,
  items: readonly Prepared[],
  sample: boolean,
): Promise<Written<readonly Item[]>> {
  if (items.length === 0) return nothing([]);
  const first = await nextRevision(records);
  const put = items.map(({ key, kind, value, text }, i) => {
    const about = { sum: sealOf(kind, key, text), revision: first + i, sample };
    const stored = withValue(kind, value, about);
    return { key, kind, stored, sealed: true };
  });
  await records.setMeta('sequence', first + items.length - 1);
  await inPieces(items, ({ key, text }, i) => {
    const { sum, revision, identity, group } = put[i]!.stored;
    const record = { id: key, revision, text, sum, ...(sample && { sample: true as const }) };
    return records.put(record, { identity, group });
  });
  return { value: put, changes: put.map((item) => ({ kind: 'put', item })) };
}

interface Rewritten {
  readonly record: StoredRecord;
  /** The revision it had. */
  readonly before: Revision;
}

/** Writes the records anew that `change` returns something for. */
async function rewrite(
  records: Records,
  keys: readonly string[],
  change: (record: StoredRecord) => StoredRecord | null,
): Promise<readonly Rewritten[]> {
  const found = await inPieces(keys, (k) => records.get(k));
  const changed = keys.flatMap((key, i) => {
    const record = found[i];
    return (isRecord(record, key) ? change(record) : null) ?? [];
  });
  if (changed.length === 0) return [];
  const first = await nextRevision(records);
  await records.setMeta('sequence', first + changed.length - 1);
  return inPieces(changed, async (old, i) => {
    const record = { ...old, revision: first + i };
    await records.put(record, 'as before');
    return { record, before: old.revision };
  });
}

type Verdict =
  | { readonly kind: 'free' }
  | { readonly kind: 'same'; readonly item: Item }
  | { readonly kind: 'conflict'; readonly conflict: Conflict<AnyStored> };

function judge(save: PreparedSave, there: unknown): Verdict {
  const { id, key, kind, base, known, value } = save;
  const unless = (allowed: boolean, conflict: Conflict<AnyStored>): Verdict =>
    allowed ? { kind: 'free' } : { kind: 'conflict', conflict };
  if (there === undefined) return unless(base === null, { kind: 'missing', id });
  if (isRecord(there, key) && there.removed === undefined) {
    const { revision, sample = false } = there;
    // The text was checked a moment ago.
    if (there.text === save.text) {
      const sum = sealOf(kind, key, save.text);
      const stored = withValue(kind, value, { sum, revision, sample });
      return { kind: 'same', item: { key, kind, stored, sealed: there.sum === sum } };
    }
    // What this window has read need not be read again to be written over.
    if (base === revision && known === revision) return { kind: 'free' };
  }
  const read = readRecord({ key, value: there }, [kind]);
  if (read.kind === 'problem') return unless(false, { kind: 'damaged', id, problem: read.problem });
  if (read.kind === 'removed') {
    const { revision } = read;
    return unless(base === revision, { kind: 'removed', id, revision });
  }
  const theirs = read.item.stored;
  return unless(base === theirs.revision, { kind: 'changed', id, theirs });
}
