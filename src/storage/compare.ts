import type { IDBPTransaction } from 'idb';
import { PHRASES } from '../io/kinds/kinds';
import { sequenceOf } from './backend';
import { copyRange, type Read } from './copy-range';
import { isRecord, partsOf, type StoredRecord } from './record';
import type { Db, LibraryDb } from './schema';
import { type CopyFile, gapsIn, type SecondCopy, type Span } from './second-copy';
import type { Revision } from './types';

/** What came of a comparison. */
export type Compared =
  | {
      readonly kind: 'compared';
      /** How many phrases the database got back; null where it got nothing. */
      readonly restored: number | null;
      /** Whether every file of the copy could be read; otherwise the next opening looks again. */
      readonly complete: boolean;
    }
  /** A later version of the program wrote the copy: this window leaves it alone. */
  | { readonly kind: 'later' };

/**
 * Brings database and second copy to the same state. The copy is written after the database, so it
 * is ahead only if the database has lost something. One window at a time.
 * @param reserved The last revision that can have been lost where writing began before this; see
 * `reserve`. Null where nothing was written before.
 * @throws what database or folder throw; then nothing is known of the copy.
 */
export async function compare(
  db: Db,
  read: Read,
  copy: SecondCopy,
  reserved: Reserved | null,
): Promise<Compared> {
  // Before the number of the last write: another window's write in between would look like a loss.
  const files = await copy.list();
  const highest = files.reduce((max, f) => Math.max(max, f.last), 0);
  const fresh = (await db.get('meta', 'fresh')) !== undefined;
  const lost =
    highest > (await sequenceIn(db)) ||
    (reserved !== null && files.some((f) => f.last > reserved.from && f.last <= reserved.to));
  let restored: Restored = { any: false, phrases: 0, numbersMean: true, complete: true };
  if (fresh || lost) {
    const found = await restore(db, copy, files, highest, fresh);
    if (found === 'later') return { kind: 'later' };
    restored = found;
  }
  const back = restored.any ? restored.phrases : null;
  if (!restored.complete) return { kind: 'compared', restored: back, complete: false };
  const sequence = await sequenceIn(db);
  const gaps = gapsIn(restored.numbersMean ? files : [], sequence);
  for (const gap of await inhabited(db, gaps)) await copyRange(db, read, copy, gap, false);
  if (!restored.numbersMean) await db.delete('meta', 'fresh');
  return { kind: 'compared', restored: back, complete: true };
}

/**
 * The gaps in which the database holds anything. Each file that a newer one has taken the place of
 * leaves a gap: to write another for it that holds nothing would make every opening slower than the
 * writing was.
 */
async function inhabited(db: Db, gaps: readonly Span[]): Promise<readonly Span[]> {
  const index = db.transaction('records').store.index('revision');
  const counts = await Promise.all(
    gaps.map(async (g) => index.count(IDBKeyRange.bound(g.first, g.last))),
  );
  return gaps.filter((_, i) => counts[i]! > 0);
}

/** Revisions that are never given: between what was read and what is written before a comparison. */
export interface Reserved {
  readonly from: Revision;
  readonly to: Revision;
}

/** More than any database has been seen to lose. */
const RESERVE = 1_000_000;

/**
 * Leaves numbers out, so that what is written before the copy could be looked at has none that the
 * copy knows from writes the database may have lost. A fresh database needs none: it counts from 1
 * again, which `restore` knows.
 */
export async function reserve(db: Db): Promise<Reserved | null> {
  const tx = db.transaction(['meta', 'records'], 'readwrite', { durability: 'strict' });
  tx.done.catch(() => undefined);
  const meta = tx.objectStore('meta');
  const fresh = (await meta.get('fresh')) !== undefined;
  // Above what is there, even where the number of it is lost: or new writes would get numbers of old ones.
  const from = Math.max(sequenceOf(await meta.get('sequence')), await lastOf(tx));
  const to = from + RESERVE;
  if (!fresh) await meta.put(to, 'sequence');
  await tx.done;
  return fresh ? null : { from, to };
}

interface Restored {
  /** Whether anything came back that can be seen. */
  readonly any: boolean;
  readonly phrases: number;
  /** Whether the revisions of the files are still those of the database. */
  readonly numbersMean: boolean;
  readonly complete: boolean;
}

/**
 * Writes the records of the copy that the database does not have, a file in a transaction. Cut off
 * half way it begins again at the next opening.
 *
 * A fresh database with records in it was written to while its copy could not be read, and counts
 * from 1 again: its numbers do not compare with those of the copy. What was written there stays,
 * except a sample as it was laid in anew, which gives way to what became of it; and all that is in
 * both gets numbers above all others, so that the newest is the highest again.
 */
async function restore(
  db: Db,
  copy: SecondCopy,
  files: readonly CopyFile[],
  highest: Revision,
  fresh: boolean,
): Promise<Restored | 'later'> {
  const found = await newestIn(copy, files);
  if (found === 'later') return 'later';
  const mixed = fresh && (await db.count('records')) > 0;
  let last = Math.max(highest, await sequenceIn(db));
  let { complete } = found;
  let any = false;
  let phrases = 0;
  for (const [name, wanted] of found.byFile) {
    const content = await copy.contents(name);
    if (content === 'later') return 'later';
    if (content === 'unreadable') {
      complete = false;
      continue;
    }
    const records = content.records.filter((r) => wanted.has(r.id));
    const back = await writeBack(db, records, mixed, last);
    last = back.last;
    any ||= back.alive.length > 0;
    phrases += back.alive.filter((r) => partsOf(r.id).name === PHRASES.name).length;
  }
  const tx = db.transaction('meta', 'readwrite', { durability: 'strict' });
  tx.done.catch(() => undefined);
  await tx.store.put(Math.max(last, sequenceOf(await tx.store.get('sequence'))), 'sequence');
  const seeded = (await tx.store.get('samples')) !== undefined;
  if (found.samples !== null && !seeded) await tx.store.put(found.samples, 'samples');
  // What could not be read now comes back at a later opening, under new numbers.
  if (!complete) await tx.store.put(true, 'fresh');
  else if (!mixed) await tx.store.delete('fresh');
  await tx.done;
  return { any, phrases, numbersMean: !mixed, complete };
}

/**
 * Which file holds the newest version of each record, by its key.
 * @throws where the folder gives none of its files.
 */
async function newestIn(copy: SecondCopy, files: readonly CopyFile[]) {
  const newest = new Map<string, { revision: Revision; name: string }>();
  let samples: number | null = null;
  let unreadable = 0;
  for (const { name } of files) {
    const content = await copy.contents(name);
    if (content === 'later') return 'later';
    if (content === 'unreadable') {
      unreadable += 1;
      continue;
    }
    samples ??= content.samples;
    for (const { id, revision } of content.records) {
      if ((newest.get(id)?.revision ?? 0) < revision) newest.set(id, { revision, name });
    }
  }
  if (unreadable > 0 && unreadable === files.length) throw new Error('the copy cannot be read');
  const byFile = new Map<string, Set<string>>();
  for (const [id, { name }] of newest) {
    const wanted = byFile.get(name) ?? new Set();
    byFile.set(name, wanted.add(id));
  }
  return { byFile, samples, complete: unreadable === 0 };
}

async function writeBack(
  db: Db,
  records: readonly StoredRecord[],
  mixed: boolean,
  from: Revision,
): Promise<{ readonly last: Revision; readonly alive: readonly StoredRecord[] }> {
  const tx = db.transaction(['records', 'meta'], 'readwrite', { durability: 'strict' });
  // The request that failed reports the same.
  tx.done.catch(() => undefined);
  const [kept, meta] = [tx.objectStore('records'), tx.objectStore('meta')];
  const there = await Promise.all(records.map(async (r) => kept.get(r.id)));
  const back: StoredRecord[] = [];
  const stay: StoredRecord[] = [];
  for (const [i, copied] of records.entries()) {
    const found = there[i];
    if (found === undefined) back.push(copied);
    else if (!isRecord(found, copied.id)) continue;
    else if (!mixed && found.revision < copied.revision) back.push(copied);
    else if (mixed && givesWay(found, copied)) back.push(copied);
    else if (mixed) stay.push(found);
  }
  let last = from;
  const puts: Promise<unknown>[] = [];
  // What is known of the records is written anew from what is there now.
  puts.push(meta.delete('heads'));
  if (mixed) {
    // Another window may have written meanwhile.
    last = Math.max(last, await lastOf(tx), sequenceOf(await meta.get('sequence')));
    for (const r of [...back, ...stay]) {
      last += 1;
      puts.push(kept.put({ ...r, revision: last }));
    }
    puts.push(meta.put(last, 'sequence'));
  } else puts.push(...back.map(async (r) => kept.put(r)));
  await Promise.all([...puts, tx.done]);
  return { last, alive: back.filter((r) => r.removed === undefined) };
}

/** The highest revision of any record, 0 for none. */
async function lastOf(
  tx: IDBPTransaction<LibraryDb, ('records' | 'meta')[], 'readwrite'>,
): Promise<Revision> {
  const numbers = IDBKeyRange.bound(0, Number.MAX_SAFE_INTEGER - 1);
  const newest = await tx.objectStore('records').index('revision').openKeyCursor(numbers, 'prev');
  return newest?.key ?? 0;
}

/** Whether a record of a fresh database is a sample that the user had already changed or removed. */
function givesWay(found: StoredRecord, copied: StoredRecord): boolean {
  if (found.sample !== true) return false;
  return copied.sample !== true || (copied.removed !== undefined && found.removed === undefined);
}

async function sequenceIn(db: Db): Promise<Revision> {
  return sequenceOf(await db.get('meta', 'sequence'));
}
