import type { Db } from './schema';

/** Rows read at a time. */
const ROWS = 64;

/** Keys of what the rows after one, up to another, say was deleted and not written again. */
export async function deletedBetween(
  db: Db,
  after: number,
  end: number,
): Promise<readonly string[]> {
  const gone = new Set<string>();
  for (let last = after; last < end; ) {
    const range = IDBKeyRange.bound(last, end, true);
    const [keys, rows] = await Promise.all([
      db.getAllKeys('heads', range, ROWS),
      db.getAll('heads', range, ROWS),
    ]);
    for (const row of rows) {
      for (const [key, revision] of entriesIn(row)) {
        if (revision === undefined) gone.add(key);
        else gone.delete(key);
      }
    }
    last = keys.at(-1) ?? end;
  }
  return [...gone];
}

function entriesIn(row: string): readonly (readonly [string, unknown?])[] {
  try {
    // This program wrote it, in this version of the database.
    return JSON.parse(row) as readonly (readonly [string, unknown?])[];
  } catch {
    // A damaged row is found and mended at the next opening.
    return [];
  }
}
