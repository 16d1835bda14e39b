import type { DBSchema } from 'idb';
import { SideDatabase } from './side-database';

/** What a list says of something that was caught and is not in the library yet. */
export interface UnkeptHead {
  readonly id: string;
  /** When it was changed last, in milliseconds since 1970. */
  readonly at: number;
  readonly title: string;
  readonly phrases: number;
  /** How many of them were corrected. */
  readonly corrected: number;
  /** How many of them are not in the library as they stand. */
  readonly open: number;
  /** Ids that the others have in the library. */
  readonly kept: readonly string[];
  /** Sounds of which somebody said that they are right. */
  readonly right: readonly string[];
}

/** All of it; what is in `take` and `parts` is for those who wrote it to read. */
export interface Unkept {
  readonly head: UnkeptHead;
  readonly take: unknown;
  /** One for each phrase. */
  readonly parts: readonly unknown[];
}

/** What is written at once, all or nothing. */
export interface UnkeptWrite {
  readonly head: UnkeptHead;
  /** Absent where it is as it was; with it all parts are new. */
  readonly take?: unknown;
  /** By the number of the phrase; those that are absent stay. */
  readonly parts: ReadonlyMap<number, unknown>;
}

export interface UnkeptStore {
  /** @returns whether it is on the disk. */
  put(write: UnkeptWrite): Promise<boolean>;
  /** Newest first. */
  list(): Promise<readonly UnkeptHead[]>;
  /** null where it is not there, or not whole. */
  read(id: string): Promise<Unkept | null>;
  /** @returns whether it is gone. */
  remove(id: string): Promise<boolean>;
}

interface UnkeptDb extends DBSchema {
  heads: { key: string; value: UnkeptHead };
  takes: { key: string; value: { readonly id: string; readonly take: unknown } };
  parts: {
    key: [string, number];
    value: { readonly of: string; readonly index: number; readonly part: unknown };
  };
}

/** So many are held at most; beyond that those go first that nobody corrected, the oldest of them. */
export const MOST_UNKEPT = 20;

const STORES = ['heads', 'takes', 'parts'] as const;
const DURABLE = { durability: 'strict' } as const;

/**
 * What was caught is there again after a reload, a crash or another page, until it is kept or thrown away. A database of its
 * own: nothing of it is in the library before somebody keeps it.
 */
export function openUnkept(name = 'degreewise-unkept'): UnkeptStore {
  const side = new SideDatabase<UnkeptDb>(name, (fresh) => {
    fresh.createObjectStore('heads', { keyPath: 'id' });
    fresh.createObjectStore('takes', { keyPath: 'id' });
    fresh.createObjectStore('parts', { keyPath: ['of', 'index'] });
  });
  const list = (all: readonly UnkeptHead[]) =>
    all.filter(isHead).sort((a, b) => b.at - a.at || (a.id < b.id ? -1 : 1));
  return {
    put: (write) =>
      side.inTurn(false, async (db) => {
        const tx = db.transaction(STORES, 'readwrite', DURABLE);
        // Awaited below; if a request fails before, that is the failure that counts.
        tx.done.catch(() => {});
        const { id } = write.head;
        // Taken out by another window, or the browser: only all of it together is of use.
        if (!('take' in write) && (await tx.objectStore('takes').getKey(id)) === undefined) {
          return false;
        }
        const parts = tx.objectStore('parts');
        const requests: Promise<unknown>[] = [tx.objectStore('heads').put(write.head)];
        if ('take' in write) {
          requests.push(tx.objectStore('takes').put({ id, take: write.take }));
          requests.push(parts.delete(allOf(id)));
        }
        for (const [index, part] of write.parts) requests.push(parts.put({ of: id, index, part }));
        await Promise.all(requests);
        const heads = list(await tx.objectStore('heads').getAll());
        const gone = tooMany(heads, id);
        await Promise.all([
          ...gone.flatMap((g) => [
            tx.objectStore('heads').delete(g),
            tx.objectStore('takes').delete(g),
            parts.delete(allOf(g)),
          ]),
          tx.done,
        ]);
        return true;
      }),
    list: () => side.inTurn([], async (db) => list(await db.getAll('heads'))),
    read: (id) =>
      side.inTurn(null, async (db) => {
        const tx = db.transaction(STORES);
        const [head, take, parts] = await Promise.all([
          tx.objectStore('heads').get(id),
          tx.objectStore('takes').get(id),
          tx.objectStore('parts').getAll(allOf(id)),
          tx.done,
        ]);
        if (!isHead(head) || take === undefined || parts.length !== head.phrases) return null;
        return { head, take: take.take, parts: parts.map((p) => p.part) };
      }),
    remove: (id) =>
      side.inTurn(false, async (db) => {
        const tx = db.transaction(STORES, 'readwrite', DURABLE);
        await Promise.all([
          tx.objectStore('heads').delete(id),
          tx.objectStore('takes').delete(id),
          tx.objectStore('parts').delete(allOf(id)),
          tx.done,
        ]);
        return true;
      }),
  };
}

/** Those that go, so that what is held stays bounded; never the one that was written now. */
function tooMany(heads: readonly UnkeptHead[], now: string): readonly string[] {
  const others = heads.filter((h) => h.id !== now);
  const leastFirst = [...others].sort(
    (a, b) => Number(a.corrected > 0) - Number(b.corrected > 0) || a.at - b.at,
  );
  return leastFirst.slice(0, Math.max(0, others.length + 1 - MOST_UNKEPT)).map((h) => h.id);
}

const allOf = (id: string) => IDBKeyRange.bound([id, 0], [id, Number.POSITIVE_INFINITY]);

function isHead(x: unknown): x is UnkeptHead {
  if (typeof x !== 'object' || x === null) return false;
  const { id, at, title, phrases, corrected, open, kept, right } = x as Record<string, unknown>;
  return (
    typeof id === 'string' &&
    typeof title === 'string' &&
    [at, phrases, corrected, open].every((n) => typeof n === 'number' && n >= 0) &&
    [kept, right].every((l) => Array.isArray(l) && l.every((k) => typeof k === 'string'))
  );
}
