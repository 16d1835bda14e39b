import type { AnyKind } from '../io/kinds/kind';
import { basis, type Entry, type Head, headOf, rowOf, takeRow, unknownHead } from './head';
import { inSlices, pause } from './pieces';
import type { Db } from './schema';

/** A library of so many records is read as a whole, and all of it checked, on opening. */
export const FEW = 256;
/** Records whose heads are written at a time where they were not. */
const BUILT = 128;
/** Rows read at a time. */
const ROWS = 64;

/** How far the log has been written from the records: up to a key, or all (null). */
interface Mark {
  readonly basis: string;
  readonly to: string | null;
}

/** For a database in which there is nothing yet. */
export function wholeMark(kinds: readonly AnyKind[]): unknown {
  return { basis: basis(kinds), to: null } satisfies Mark;
}

/**
 * What is known of all records; null where there are few.
 * @param few So many are read as a whole.
 */
export async function readHeads(
  db: Db,
  kinds: readonly AnyKind[],
  few: number,
  progress: (done: number, total: number) => void,
): Promise<readonly Head[] | null> {
  const some = await db.getAllKeys('records', undefined, few + 1);
  if (some.length <= few) return null;
  await writeHeads(db, kinds, progress);
  try {
    return [...(await readLog(db)).known.values()];
  } catch {
    // A damaged row: everything is written anew from the records.
    await forgetHeads(db);
    await writeHeads(db, kinds, progress);
    return [...(await readLog(db)).known.values()];
  }
}

/** They are written anew at the next opening. */
export async function forgetHeads(db: Db): Promise<void> {
  await db.delete('meta', 'heads');
}

interface Log {
  readonly known: Map<string, Head>;
  readonly rows: number;
  readonly entries: number;
  /** Key of the last row; 0 for none. */
  readonly last: number;
}

export async function readLog(db: Db): Promise<Log> {
  const known = new Map<string, Head>();
  let [rows, entries, last] = [0, 0, 0];
  for (;;) {
    const later = IDBKeyRange.lowerBound(last, true);
    const tx = db.transaction('heads');
    tx.done.catch(() => undefined);
    const [keys, texts] = await Promise.all([
      tx.store.getAllKeys(later, ROWS),
      tx.store.getAll(later, ROWS),
    ]);
    await inSlices(texts, (text) => {
      entries += takeRow(known, text);
    });
    rows += keys.length;
    last = keys.at(-1) ?? last;
    if (keys.length < ROWS) return { known, rows, entries, last };
  }
}

/** Writes the heads of records that have none, a piece at a time: a kill costs the last piece. */
async function writeHeads(
  db: Db,
  kinds: readonly AnyKind[],
  progress: (done: number, total: number) => void,
): Promise<void> {
  const want = basis(kinds);
  const found = markIn(await db.get('meta', 'heads'));
  if (found?.basis === want && found.to === null) return;
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

function markIn(stored: unknown): Mark | null {
  if (typeof stored !== 'object' || stored === null) return null;
  const { basis: of, to } = stored as { readonly [K in keyof Mark]?: unknown };
  if (typeof of !== 'string' || (to !== null && typeof to !== 'string')) return null;
  return { basis: of, to };
}
