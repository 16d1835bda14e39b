import type { AnyKind, Identity } from '../io/kinds/kind';
import { PHRASES } from '../io/kinds/kinds';
import {
  basis,
  type Entry,
  kindsSince,
  type Mark,
  markIn,
  type Named,
  partOf,
  rowOf,
} from './head';
import { pause } from './pieces';
import { isRecord, keyOf, partsOf, type StoredRecord } from './record';
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
  const mark = found?.basis === want ? found : kindsBehind(found, want, kinds);
  if (mark?.to === null) return 0;
  if (mark === null) await heads.clear();
  const range = mark === null ? undefined : rangeAfter(mark.to, mark.until);
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
  const until = last === null ? undefined : mark?.until;
  await meta.put({ basis: want, to: last, ...(until !== undefined && { until }) }, 'heads');
  await tx.done;
  return entries.length;
}

const rangeAfter = (to: string, until: string | undefined): IDBKeyRange =>
  until === undefined ? IDBKeyRange.lowerBound(to, true) : IDBKeyRange.bound(to, until, true);

/**
 * Where all heads were written before some kinds came to be read on demand, or came into a new version:
 * only theirs are written anew, which lie between two keys. Null where all have to be.
 */
function kindsBehind(found: Mark | null, want: string, kinds: readonly AnyKind[]): Mark | null {
  if (found === null || found.to !== null) return null;
  const names = kindsSince(found.basis, kinds);
  // Phrases have keys of any beginning.
  if (names === null || names.includes(PHRASES.name)) return null;
  const keys = names.map((n) => `${n} `).sort();
  const [to, last] = [keys[0], keys.at(-1)];
  // No id holds what comes after a space, so the last name and that is above all keys of its kind.
  return to === undefined ? null : { basis: want, to, until: `${last!.slice(0, -1)}!` };
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

/**
 * What a row says of what lies under a key, whatever it is. What was not checked by this version of the
 * program is checked when it is read: to do so with all of a large library would hold up its first opening.
 */
export function headOf(key: string, value: unknown, kinds: readonly AnyKind[]): Entry {
  if (!isRecord(value, key)) return unknownHead(key);
  const kind = kindOf(key, kinds);
  const named = kind === undefined ? null : namedOf(kind, value);
  const sum = kind === undefined || named === null ? null : sealOf(kind, key, value.text);
  return { ...partOf(value, 'as before'), ...(named ?? UNNAMED), sum };
}

/** What a row says of what has to be read first. */
export function unknownHead(key: string): Entry {
  return { key, revision: 0, sum: null, removed: null, sample: false, ...UNNAMED };
}

function kindOf(key: string, kinds: readonly AnyKind[]): AnyKind | undefined {
  const { name } = partsOf(key);
  return kinds.find((k) => k.name === name);
}

const UNNAMED = { identity: null, group: null };

/** What a record is called; null where it has to be read and checked to know. */
function namedOf(kind: AnyKind, { id: key, text, sum }: StoredRecord): Named | null {
  if (sum === sealOf(kind, key, text)) {
    const value = kind.groupOf === undefined ? beginningOf(kind, text) : valueIn(kind, text);
    return { identity: kind.identityOf(value), group: kind.groupOf?.(value) ?? null };
  }
  if (kind.onDemand !== true) return null;
  try {
    // Whatever lies there: a value that only looks like one of the kind is found when it is read.
    const value = valueIn(kind, text);
    const identity = kind.identityOf(value);
    const group: unknown = kind.groupOf?.(value) ?? null;
    if (keyOf(kind, identity.id) !== key || !isIdentity(identity)) return null;
    return group === null || typeof group === 'string' ? { identity, group } : null;
  } catch {
    return null;
  }
}

function isIdentity({ parent, title, created, modified }: Identity): boolean {
  // It was not checked.
  const texts: readonly unknown[] = [title, created, modified];
  return (
    texts.every((t) => typeof t === 'string') && (parent === null || typeof parent === 'string')
  );
}

/** The fields of a checked text that come before its content, in the order of the schemas. */
const FIRST =
  /^\{"format":"[a-z-]+","version":(\d+),"id":"[^"\\]*","parent":(?:null|"[^"\\]*"),"meta":(?=\{)/u;

/** As much of a text that was checked as says what it is called: to parse all of it takes ten times as long. */
function beginningOf(kind: AnyKind, text: string): unknown {
  const found = FIRST.exec(text);
  if (found === null || Number(found[1]) !== kind.versions.newest) return valueIn(kind, text);
  return JSON.parse(`${text.slice(0, endOfObject(text, found[0].length))}}`);
}

/** Where the object ends that begins at a place. */
function endOfObject(text: string, at: number): number {
  let depth = 0;
  let quoted = false;
  for (let i = at; i < text.length; i++) {
    const c = text[i];
    if (quoted) {
      if (c === '\\') i += 1;
      else if (c === '"') quoted = false;
    } else if (c === '"') quoted = true;
    else if (c === '{' || c === '[') depth += 1;
    else if ((c === '}' || c === ']') && --depth === 0) return i + 1;
  }
  return text.length;
}
