import type { DBSchema, IDBPDatabase, IDBPTransaction } from 'idb';
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
  /** What the list said was damaged, and is put together anew. */
  readonly damaged?: true;
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

/** All that lay here of one, as it lay, whole or damaged: for putting it back. */
export interface TakenOut {
  readonly heads: readonly unknown[];
  readonly takes: readonly unknown[];
  readonly parts: readonly unknown[];
}

/**
 * Runs something while no window has a take on its page and none can open it; where one has it, nothing.
 * Without it nothing is known of other windows.
 */
export type WhileFree = (id: string, work: () => Promise<void>) => Promise<void>;

export interface UnkeptStore {
  /** @returns whether it is on the disk. */
  put(write: UnkeptWrite): Promise<boolean>;
  /** Newest first. */
  list(): Promise<readonly UnkeptHead[]>;
  /** null where it is not there, or not whole. */
  read(id: string): Promise<Unkept | null>;
  /** @returns what it was, for `putBack`; null where it is still there. */
  takeOut(id: string): Promise<TakenOut | null>;
  /** @returns whether it is there again. */
  putBack(taken: TakenOut): Promise<boolean>;
}

interface UnkeptDb extends DBSchema {
  heads: { key: string; value: UnkeptHead };
  takes: { key: string; value: { readonly id: string; readonly take: unknown } };
  parts: {
    key: [string, number];
    value: { readonly of: string; readonly index: number; readonly part: unknown };
  };
}

/**
 * So many are held at most; beyond that those go first that nobody corrected, the oldest of them. One that a window has on
 * its page stays, as one too many.
 */
export const MOST_UNKEPT = 20;

const STORES = ['heads', 'takes', 'parts'] as const;
const DURABLE = { durability: 'strict' } as const;

/**
 * What was caught is there again after a reload, a crash or another page, until it is kept or thrown away. A database of its
 * own: nothing of it is in the library before somebody keeps it.
 */
export function openUnkept(
  name = 'degreewise-unkept',
  whileFree: WhileFree = (_, work) => work(),
): UnkeptStore {
  const side = new SideDatabase<UnkeptDb>(name, (fresh) => {
    fresh.createObjectStore('heads', { keyPath: 'id' });
    fresh.createObjectStore('takes', { keyPath: 'id' });
    fresh.createObjectStore('parts', { keyPath: ['of', 'index'] });
  });
  const list = async (tx: Reading) => {
    const all = await tx.objectStore('heads').getAll();
    const heads = await Promise.all(all.map((h) => (isHead(h) ? h : headAnew(tx, h))));
    return heads.filter((h) => h !== null).sort((a, b) => b.at - a.at || (a.id < b.id ? -1 : 1));
  };
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
        const gone = tooMany(await list(tx), id);
        await tx.done;
        // Each by itself: whoever opens one meanwhile waits until it is gone, or keeps it.
        for (const g of gone) {
          // Where it fails the next write does it; this one is on the disk.
          await whileFree(g, async () => void (await removeAll(db, g))).catch(() => {});
        }
        return true;
      }),
    list: () => side.inTurn([], (db) => list(db.transaction(STORES))),
    read: (id) =>
      side.inTurn(null, async (db) => {
        const tx = db.transaction(STORES);
        const [found, take, parts] = await Promise.all([
          tx.objectStore('heads').get(id),
          tx.objectStore('takes').get(id),
          tx.objectStore('parts').getAll(allOf(id)),
        ]);
        const head = isHead(found) ? found : await headAnew(tx, found);
        if (head === null || take === undefined || parts.length !== head.phrases) return null;
        return { head, take: take.take, parts: parts.map((p) => p.part) };
      }),
    takeOut: (id) =>
      side.inTurn(null, async (db) => {
        const [heads, takes, parts] = await removeAll(db, id, (tx) => [
          tx.objectStore('heads').getAll(id),
          tx.objectStore('takes').getAll(id),
          tx.objectStore('parts').getAll(allOf(id)),
        ]);
        return { heads: heads!, takes: takes!, parts: parts! };
      }),
    putBack: (taken) =>
      side.inTurn(false, async (db) => {
        const tx = db.transaction(STORES, 'readwrite', DURABLE);
        tx.done.catch(() => {});
        // As they came out of these stores; what is damaged stays so.
        await Promise.all(
          STORES.flatMap((s) => taken[s].map((row) => tx.objectStore(s).put(row as never))),
        );
        await tx.done;
        return true;
      }),
  };
}

type Reading = Pick<IDBPTransaction<UnkeptDb, typeof STORES, IDBTransactionMode>, 'objectStore'>;

/** Takes all of one out, and gives what is asked for of it before. */
async function removeAll(
  db: IDBPDatabase<UnkeptDb>,
  id: string,
  before: (tx: Reading) => readonly Promise<readonly unknown[]>[] = () => [],
): Promise<readonly (readonly unknown[])[]> {
  const tx = db.transaction(STORES, 'readwrite', DURABLE);
  tx.done.catch(() => {});
  const was = await Promise.all(before(tx));
  await Promise.all([
    tx.objectStore('heads').delete(id),
    tx.objectStore('takes').delete(id),
    tx.objectStore('parts').delete(allOf(id)),
  ]);
  await tx.done;
  return was;
}

/**
 * What the list says where that is damaged and the rest may not be; null where there is no number to ask for it by. Nobody
 * knows what was corrected or kept of it: it counts as open, so that it does not go as one that is all in the library.
 */
async function headAnew(tx: Reading, damaged: unknown): Promise<UnkeptHead | null> {
  const { id, at, title } = (damaged ?? {}) as Partial<Record<keyof UnkeptHead, unknown>>;
  if (typeof id !== 'string') return null;
  const phrases = await tx.objectStore('parts').count(allOf(id));
  return {
    id,
    at: typeof at === 'number' && at >= 0 ? at : 0,
    title: typeof title === 'string' ? title : 'Damaged',
    ...{ phrases, corrected: 0, open: Math.max(1, phrases), kept: [], right: [], damaged: true },
  };
}

/** Those that go, so that what is held stays bounded; never the one that was written now. What is damaged may have been corrected. */
function tooMany(heads: readonly UnkeptHead[], now: string): readonly string[] {
  const others = heads.filter((h) => h.id !== now);
  const leastFirst = [...others].sort(
    (a, b) => Number(isDear(a)) - Number(isDear(b)) || a.at - b.at,
  );
  return leastFirst.slice(0, Math.max(0, others.length + 1 - MOST_UNKEPT)).map((h) => h.id);
}

const isDear = ({ corrected, damaged }: UnkeptHead) => corrected > 0 || damaged === true;

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
