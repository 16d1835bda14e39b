import { isRecord, type RawRecord, type StoredRecord } from './record';
import type { Db } from './schema';
import type { SecondCopy, Span } from './second-copy';
import { FULL } from './second-copy';

/** Reads records by their keys and does not fail for one of them. */
export type Read = (keys: readonly string[]) => Promise<readonly RawRecord[]>;

/** Records read at a time. */
const PIECE = 64;

/**
 * Copies what the database holds of a range of revisions, a file at a time: memory holds no more
 * than one, however large the library is.
 * @param strict Gives up at a damaged record, which may be whole in an older file.
 * @returns the names of the files; null where it was given up.
 * @throws what database or folder throw.
 */
export async function copyRange(
  db: Db,
  read: Read,
  copy: SecondCopy,
  { first, last }: Span,
  strict: boolean,
): Promise<readonly string[] | null> {
  const keys = await db.getAllKeysFromIndex('records', 'revision', IDBKeyRange.bound(first, last));
  const samples = await samplesIn(db);
  const names: string[] = [];
  let from = first;
  let records: StoredRecord[] = [];
  let size = 0;
  for (let at = 0; at < keys.length; at += PIECE) {
    for (const raw of await read(keys.slice(at, at + PIECE).filter(isString))) {
      const record = recordIn(raw);
      if (record === null && strict) return null;
      // One that was written since is copied by whoever wrote it.
      if (record === null || record.revision > last) continue;
      records.push(record);
      size += record.text.length;
    }
    const end = records.at(-1);
    if (size < FULL || end === undefined || end.revision >= last) continue;
    names.push(...(await copy.add({ records, samples }, { first: from, last: end.revision })));
    [from, records, size] = [end.revision + 1, [], 0];
  }
  return [...names, ...(await copy.add({ records, samples }, { first: from, last }))];
}

/** When the samples were laid in, in ms since 1970; null where that is not known. */
export async function samplesIn(db: Db): Promise<number | null> {
  const stored = await db.get('meta', 'samples');
  return typeof stored === 'number' ? stored : null;
}

function recordIn(raw: RawRecord): StoredRecord | null {
  return 'value' in raw && isRecord(raw.value, raw.key) ? raw.value : null;
}

/** Keys of records are text; other keys are not ours. */
export function isString(key: IDBValidKey): key is string {
  return typeof key === 'string';
}
