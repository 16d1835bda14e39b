import type { Page } from 'playwright';

/** Seconds that the browser itself takes for what a library does, without anything of ours. */
export interface Floor {
  /** Records put, so many in a transaction that is on the disk before the next. */
  readonly put: number;
  /** Each read and put again, four times: as removing, undoing, and both again. */
  readonly rewrite: readonly number[];
  /** The same texts as files of about a million characters in the private file system. */
  readonly files: number;
}

/**
 * The least that so many records of a text can cost in the browser's own database and its private
 * file system: plain puts with strict durability, with an index on a number as the library has it.
 */
export async function writeFloor(
  page: Page,
  many: number,
  texts: readonly string[],
  together: number,
): Promise<Floor> {
  // What runs this script names functions by a helper that a page does not have.
  await page.evaluate('globalThis.__name = (f) => f');
  return page.evaluate(FLOOR, [many, texts, together] as const);
}

const FLOOR = async ([many, texts, together]: readonly [number, readonly string[], number]) => {
  const name = `floor-${Math.round(performance.now())}`;
  const asked = indexedDB.open(name, 1);
  const heard = <T>(r: IDBRequest<T>) =>
    new Promise<T>((resolve, reject) => {
      r.onsuccess = () => resolve(r.result);
      r.onerror = () => reject(r.error);
    });
  asked.onupgradeneeded = () => {
    asked.result.createObjectStore('r', { keyPath: 'id' }).createIndex('revision', 'revision');
  };
  const db = await heard(asked);
  let revision = 0;
  const record = (i: number) => ({
    id: `floor-${i}`,
    revision: ++revision,
    text: `${texts[i % texts.length]}${i}`,
    sum: i,
  });
  const inParts = async (part: (store: IDBObjectStore, i: number) => void) => {
    const began = performance.now();
    for (let at = 0; at < many; at += together) {
      const tx = db.transaction('r', 'readwrite', { durability: 'strict' });
      const done = new Promise((resolve, reject) => {
        tx.oncomplete = resolve;
        tx.onabort = () => reject(tx.error);
      });
      for (let i = at; i < Math.min(many, at + together); i++) part(tx.objectStore('r'), i);
      await done;
    }
    return (performance.now() - began) / 1000;
  };
  const put = await inParts((store, i) => void store.put(record(i)));
  const rewrite: number[] = [];
  for (let round = 0; round < 4; round++) {
    const seconds = await inParts((store, i) => {
      const read = store.get(`floor-${i}`);
      read.onsuccess = () => store.put({ ...read.result, revision: ++revision });
    });
    rewrite.push(seconds);
  }
  const root = await navigator.storage.getDirectory();
  const folder = await root.getDirectoryHandle(name, { create: true });
  const began = performance.now();
  let waiting: string[] = [];
  let [size, file] = [0, 0];
  for (let i = 0; i < many; i++) {
    const one = JSON.stringify(record(i));
    waiting.push(one);
    size += one.length;
    if (size < 1024 * 1024 && i < many - 1) continue;
    const handle = await folder.getFileHandle(`f-${file++}`, { create: true });
    const writable = await handle.createWritable();
    await writable.write(waiting.join(','));
    await writable.close();
    waiting = [];
    size = 0;
  }
  const files = (performance.now() - began) / 1000;
  db.close();
  await heard(indexedDB.deleteDatabase(name));
  await root.removeEntry(name, { recursive: true });
  return { put, rewrite, files };
};
