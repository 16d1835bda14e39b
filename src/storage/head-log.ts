import type { AnyKind } from '../io/kinds/kind';
import { basis, type Head, type LogEnd, type Mark, markIn, NO_LOG, takeRow } from './head';
import { inSlices } from './pieces';
import type { Db } from './schema';
import { sumOf } from './seal';

/** A library of so many records is read as a whole, and all of it checked, on opening. */
export const FEW = 256;
/** Rows read at a time. */
const ROWS = 64;

/** For a database in which there is nothing yet. */
export function wholeMark(kinds: readonly AnyKind[]): unknown {
  return { basis: basis(kinds), to: null } satisfies Mark;
}

/**
 * What is known of all records; null where there are few, or all of them have to be read.
 * @param few So many are read as a whole.
 */
export async function readHeads(
  db: Db,
  kinds: readonly AnyKind[],
  few: number,
  progress: (done: number, total: number) => void,
): Promise<Pick<Log, 'known' | 'gap'> | null> {
  const some = await db.getAllKeys('records', undefined, few + 1);
  if (some.length <= few) return null;
  if (!(await areWhole(db, kinds)) && !(await build(db, kinds, progress))) return null;
  try {
    return await readLog(db);
  } catch {
    // A damaged row: everything is written anew from the records.
    await forgetHeads(db);
    if (!(await build(db, kinds, progress))) return null;
    return readLog(db);
  }
}

export async function areWhole(db: Db, kinds: readonly AnyKind[]): Promise<boolean> {
  const found = markIn(await db.get('meta', 'heads'));
  return found?.basis === basis(kinds) && found.to === null;
}

/** @returns false where the code for it did not come: the library is then read as a whole. */
async function build(
  db: Db,
  kinds: readonly AnyKind[],
  progress: (done: number, total: number) => void,
): Promise<boolean> {
  const code = await import('./build-heads').catch(() => null);
  await code?.writeHeads(db, kinds, progress);
  return code !== null;
}

/** They are written anew at the next opening. */
export async function forgetHeads(db: Db): Promise<void> {
  await db.delete('meta', 'heads');
}

export async function endOf(db: Db): Promise<LogEnd> {
  const last = await db.transaction('heads').store.openCursor(null, 'prev');
  return last === null ? NO_LOG : { row: last.key, sum: sumOf(last.value) };
}

interface Log {
  readonly known: Map<string, Head>;
  readonly rows: number;
  readonly entries: number;
  /** Key of the last row; 0 for none. */
  readonly last: number;
  /** A row between two others is not there: what it said may be missing. */
  readonly gap: boolean;
}

export async function readLog(db: Db): Promise<Log> {
  const known = new Map<string, Head>();
  let [rows, entries, last] = [0, 0, 0];
  let gap = false;
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
    for (const key of keys) {
      if (rows++ > 0 && key !== last + 1) gap = true;
      last = key;
    }
    if (keys.length < ROWS) return { known, rows, entries, last, gap };
  }
}
