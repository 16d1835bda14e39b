import { PHRASES } from '../io/kinds/kinds';
import { sequenceOf } from './backend';
import { isRecord, partsOf, type RawRecord, type StoredRecord } from './record';
import type { Db } from './schema';
import { type Copied, gapsIn, MANY, type SecondCopy, type Span } from './second-copy';
import type { Revision } from './types';

/** Reads records by their keys and does not fail for one of them. */
type Read = (keys: readonly string[]) => Promise<readonly RawRecord[]>;

/**
 * Brings database and second copy to the same state. The copy is written after the database, so it
 * is ahead only if the database has lost something. One window at a time.
 * @returns how many phrases the database got back; null where it got nothing.
 */
export async function compare(db: Db, read: Read, copy: SecondCopy): Promise<number | null> {
  // Before the number of the last write: another window's write in between would look like a loss.
  const spans = await copy.spans();
  if (spans === null) return null;
  const highest = spans.reduce((max, s) => Math.max(max, s.last), 0);
  const fresh = (await db.get('meta', 'fresh')) !== undefined;
  let restored: Restored = { any: false, phrases: 0, numbersMean: true };
  if (fresh || highest > (await sequenceIn(db))) {
    const copied = await copy.contents();
    if (copied === null) return null;
    restored = await restore(db, copied, highest, fresh);
  }
  const sequence = await sequenceIn(db);
  const gaps = gapsIn(restored.numbersMean ? spans : [], sequence);
  const caughtUp = await catchUp(db, read, copy, gaps);
  if (caughtUp && !restored.numbersMean) await db.delete('meta', 'fresh');
  if (spans.length > MANY) await gather(db, read, copy, sequence);
  return restored.any ? restored.phrases : null;
}

/** When the samples were laid in, for a copy that holds some of them. */
export async function samplesAmong(
  db: Db | null,
  records: readonly StoredRecord[],
): Promise<number | null> {
  return db === null || !records.some((r) => r.sample) ? null : samplesIn(db);
}

interface Restored {
  /** Whether anything came back that can be seen. */
  readonly any: boolean;
  readonly phrases: number;
  /** Whether the revisions of the files are still those of the database. */
  readonly numbersMean: boolean;
}

/**
 * Writes the records of the copy that the database does not have.
 *
 * A fresh database with records in it was written to while its copy could not be read, and counts
 * from 1 again: its numbers do not compare with those of the copy. What was written there stays,
 * except a sample as it was laid in anew, which gives way to what became of it; and all that is in
 * both gets numbers above all others, so that the newest is the highest again.
 */
async function restore(
  db: Db,
  { records, samples }: Copied,
  highest: Revision,
  fresh: boolean,
): Promise<Restored> {
  const tx = db.transaction(['records', 'meta'], 'readwrite', { durability: 'strict' });
  // The request that failed reports the same.
  tx.done.catch(() => undefined);
  const [kept, meta] = [tx.objectStore('records'), tx.objectStore('meta')];
  const [count, stored, seeded] = await Promise.all([
    kept.count(),
    meta.get('sequence'),
    meta.get('samples'),
  ]);
  const mixed = fresh && count > 0;
  const there = await Promise.all(records.map(async (r) => kept.get(r.id)));
  let last = Math.max(highest, sequenceOf(stored));
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
  const numbered = mixed
    ? [...back, ...stay].map((r) => {
        last += 1;
        return { ...r, revision: last };
      })
    : back;
  await Promise.all([
    ...numbered.map(async (r) => kept.put(r)),
    meta.put(last, 'sequence'),
    ...(samples !== null && seeded === undefined ? [meta.put(samples, 'samples')] : []),
    ...(mixed ? [] : [meta.delete('fresh')]),
    tx.done,
  ]);
  const alive = back.filter((r) => r.removed === undefined);
  const phrases = alive.filter((r) => partsOf(r.id).name === PHRASES.name).length;
  return { any: alive.length > 0, phrases, numbersMean: !mixed };
}

/** Whether a record of a fresh database is a sample that the user had already changed or removed. */
function givesWay(found: StoredRecord, copied: StoredRecord): boolean {
  if (found.sample !== true) return false;
  return copied.sample !== true || (copied.removed !== undefined && found.removed === undefined);
}

/** Copies what the files do not cover. */
async function catchUp(db: Db, read: Read, copy: SecondCopy, gaps: readonly Span[]) {
  const [first, last] = [gaps[0]?.first, gaps.at(-1)?.last];
  if (first === undefined || last === undefined) return true;
  const tx = db.transaction('records');
  tx.done.catch(() => undefined);
  const index = tx.store.index('revision');
  const keys = await Promise.all(
    gaps.map(async (gap) => index.getAllKeys(IDBKeyRange.bound(gap.first, gap.last))),
  );
  const records = (await read(keys.flat().filter(isString))).flatMap(recordIn);
  return copy.add({ records, samples: await samplesIn(db) }, { first, last });
}

async function gather(db: Db, read: Read, copy: SecondCopy, sequence: Revision): Promise<void> {
  const all = await read((await db.getAllKeys('records')).filter(isString));
  const records = all.flatMap(recordIn);
  // What is damaged here may be whole in an older file.
  if (records.length < all.length) return;
  await copy.gather({ records, samples: await samplesIn(db) }, sequence);
}

async function sequenceIn(db: Db): Promise<Revision> {
  return sequenceOf(await db.get('meta', 'sequence'));
}

async function samplesIn(db: Db): Promise<number | null> {
  const stored = await db.get('meta', 'samples');
  return typeof stored === 'number' ? stored : null;
}

function recordIn(raw: RawRecord): readonly StoredRecord[] {
  return 'value' in raw && isRecord(raw.value, raw.key) ? [raw.value] : [];
}

function isString(key: IDBValidKey): key is string {
  return typeof key === 'string';
}
