import type { AnyKind } from '../io/kinds/kind';
import { basis, type Entry, type Mark, markIn, partOf, rowOf } from './head';
import { pause } from './pieces';
import { isRecord, partsOf, type StoredRecord } from './record';
import type { Db } from './schema';
import { sealOf, valueIn } from './seal';

/** Records whose heads are written at a time where they were not. */
const BUILT = 128;

/** Writes the heads of records that have none, a piece at a time: a kill costs the last piece. */
export async function writeHeads(
  db: Db,
  kinds: readonly AnyKind[],
  progress: (done: number, total: number) => void,
): Promise<void> {
  const want = basis(kinds);
  const total = await db.count('records');
  for (let done = 0, unreadable = false; ; ) {
    const piece = await writePiece(db, kinds, want, unreadable);
    if (piece === 'unreadable') {
      unreadable = true;
      continue;
    }
    unreadable = false;
    if (piece === 0) return;
    done += piece;
    progress(Math.min(done, total), total);
    await pause();
  }
}

/** @param unreadable The browser does not give one of the values: they are not asked for. */
async function writePiece(
  db: Db,
  kinds: readonly AnyKind[],
  want: string,
  unreadable: boolean,
): Promise<number | 'unreadable'> {
  const tx = db.transaction(['records', 'heads', 'meta'], 'readwrite', { durability: 'relaxed' });
  tx.done.catch(() => undefined);
  const [records, heads, meta] = [
    tx.objectStore('records'),
    tx.objectStore('heads'),
    tx.objectStore('meta'),
  ];
  // Another window may be at it too: each goes on where the other has ended.
  const found = markIn(await meta.get('heads'));
  const mark = found?.basis === want ? found : null;
  if (mark?.to === null) return 0;
  if (mark === null) await heads.clear();
  const range = mark === null ? undefined : IDBKeyRange.lowerBound(mark.to, true);
  const keys = await records.getAllKeys(range, BUILT);
  let values: readonly unknown[] | null = null;
  try {
    if (!unreadable) values = await records.getAll(range, BUILT);
  } catch {
    return 'unreadable';
  }
  const entries = keys.flatMap((key, i): Entry[] => {
    if (typeof key !== 'string') return [];
    return [values === null ? unknownHead(key) : headOf(key, values[i], kinds)];
  });
  const last = entries.at(-1)?.key ?? null;
  if (entries.length > 0) await heads.add(rowOf(entries));
  await meta.put({ basis: want, to: last } satisfies Mark, 'heads');
  await tx.done;
  return entries.length;
}

/** Says anew what lies under some keys. */
export async function mendHeads(
  db: Db,
  keys: readonly string[],
  kinds: readonly AnyKind[],
): Promise<void> {
  for (let at = 0; at < keys.length; at += BUILT) {
    const tx = db.transaction(['records', 'heads'], 'readwrite', { durability: 'relaxed' });
    tx.done.catch(() => undefined);
    const records = tx.objectStore('records');
    const some = keys.slice(at, at + BUILT);
    const values = await Promise.all(some.map(async (key) => records.get(key)));
    const entries = some.map((key, i): Entry => {
      return values[i] === undefined ? { key, gone: true } : headOf(key, values[i], kinds);
    });
    await tx.objectStore('heads').add(rowOf(entries));
    await tx.done;
  }
}

/** What a row says of what lies under a key, whatever it is. */
export function headOf(key: string, value: unknown, kinds: readonly AnyKind[]): Entry {
  if (!isRecord(value, key)) return unknownHead(key);
  const sum = checkedSum(key, value, kinds);
  return { ...partOf(value), sum, identity: sum === null ? null : identityIn(key, value, kinds) };
}

/** What a row says of what has to be read first. */
export function unknownHead(key: string): Entry {
  return { key, revision: 0, sum: null, removed: null, sample: false, identity: null };
}

function kindOf(key: string, kinds: readonly AnyKind[]): AnyKind | undefined {
  const { name } = partsOf(key);
  return kinds.find((k) => k.name === name);
}

function checkedSum(key: string, record: StoredRecord, kinds: readonly AnyKind[]): number | null {
  const kind = kindOf(key, kinds);
  if (kind === undefined || record.sum === undefined) return null;
  return sealOf(kind, key, record.text) === record.sum ? record.sum : null;
}

function identityIn(key: string, { text }: StoredRecord, kinds: readonly AnyKind[]) {
  const kind = kindOf(key, kinds);
  // Its seal was found right.
  return kind === undefined ? null : kind.identityOf(valueIn(kind, text));
}
