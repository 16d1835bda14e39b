import { rowOf, takeRow } from './head';
import { readLog } from './head-log';
import { pause } from './pieces';
import type { Db } from './schema';

/** Heads in a row that is written anew. */
const FULL_ROW = 512;

/**
 * Writes the log anew where most of it is past. Whatever is written meanwhile, here or in another
 * window, stays the newest; cut off anywhere, the log only says some things twice.
 * @param always Whatever it holds.
 */
export async function tidyLog(db: () => Db, always = false): Promise<void> {
  const before = await readLog(db());
  const { known, rows, entries } = before;
  if (!always && entries <= 2 * known.size + 4096 && rows <= known.size / 64 + 256) return;
  let { last } = before;
  const keys = [...known.keys()];
  for (let at = 0; at < keys.length; at += FULL_ROW) {
    const tx = db().transaction('heads', 'readwrite', { durability: 'relaxed' });
    tx.done.catch(() => undefined);
    // Another window has done it while this one stood still: what went meanwhile must not come back.
    if (last > 0 && (await tx.store.getKey(last)) === undefined) return;
    for (const row of await tx.store.getAll(IDBKeyRange.lowerBound(last, true)))
      takeRow(known, row);
    const some = keys.slice(at, at + FULL_ROW).flatMap((k) => known.get(k) ?? []);
    last = await tx.store.add(rowOf(some));
    await tx.done;
    await pause();
  }
  await db().delete('heads', IDBKeyRange.upperBound(before.last));
}
