import type { NoteName } from './backend';
import type { Note } from './noted';
import type { Db } from './schema';

/** What windows noted and did not cross out: a window ended between a save and its earlier version. */
export async function readNoted(db: Db): Promise<ReadonlyMap<NoteName, unknown>> {
  const tx = db.transaction('meta');
  const range = IDBKeyRange.bound('past ', 'past!', false, true);
  const [keys, values] = await Promise.all([
    tx.store.getAllKeys(range),
    tx.store.getAll(range),
    tx.done,
  ]);
  // Nothing else lies between these bounds.
  return new Map(keys.map((key, i) => [key as NoteName, values[i]]));
}

/** Null for what no program of ours wrote. */
export function noteIn(value: unknown): Note | null {
  if (typeof value !== 'object' || value === null) return null;
  const { now, replaced } = value as { [field in keyof Note]?: unknown };
  if (typeof now !== 'number' || !Array.isArray(replaced)) return null;
  return { now, replaced: replaced.filter(isReplaced) };
}

function isReplaced(value: unknown): value is Note['replaced'][number] {
  if (typeof value !== 'object' || value === null) return false;
  const { id, text, sum } = value as { [field in keyof Note['replaced'][number]]?: unknown };
  const sealed = sum === undefined || typeof sum === 'number';
  return typeof id === 'string' && typeof text === 'string' && sealed;
}
