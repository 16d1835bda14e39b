import { PHRASES } from '../../../src/io/kinds/kinds';
import { sealOf } from '../../../src/storage/seal';

/** Leaves a database of version 3 behind, with so many phrases, as an older program did. */
export async function fillOld(count: number, sample: string): Promise<void> {
  const opening = indexedDB.open('degreewise', 3);
  opening.onupgradeneeded = () => {
    const records = opening.result.createObjectStore('records', { keyPath: 'id' });
    records.createIndex('revision', 'revision');
    opening.result.createObjectStore('meta');
  };
  const db = await done(opening);
  const tx = db.transaction(['records', 'meta'], 'readwrite', { durability: 'strict' });
  // As it is kept: fields in the order of the schema, without spaces.
  const value = JSON.parse(sample);
  for (let i = 0; i < count; i++) {
    const id = `old-${i}`;
    const text = JSON.stringify({
      ...value,
      id,
      meta: { ...value.meta, title: '0.0', notes: '0.0' },
    });
    const sum = sealOf(PHRASES, id, text);
    tx.objectStore('records').put({ id, revision: i + 1, text, sum });
  }
  tx.objectStore('meta').put(count, 'sequence');
  await new Promise((resolve, reject) => {
    tx.oncomplete = resolve;
    tx.onabort = () => reject(tx.error);
  });
  db.close();
}

/** Damages what is only there to open sooner; everything in it can be made from the records. */
export async function spoil(what: string): Promise<void> {
  const there = (await indexedDB.databases()).map((d) => d.name);
  // The browser was killed before it made them.
  if (!there.includes('degreewise') || !there.includes('degreewise-facts')) return;
  const library = await done(indexedDB.open('degreewise'));
  const facts = await done(indexedDB.open('degreewise-facts'));
  // A transaction each: one ends by itself as soon as it has nothing to do.
  const heads = () => library.transaction('heads', 'readwrite').objectStore('heads');
  const blocks = () => facts.transaction('blocks', 'readwrite').objectStore('blocks');
  const keys = await done(heads().getAllKeys());
  const middle = keys[keys.length >> 1];
  if (what === 'row' && middle !== undefined) await done(heads().put('[["one-1",', middle));
  if (what === 'row gone' && middle !== undefined) await done(heads().delete(middle));
  if (what === 'rows gone') await done(heads().clear());
  if (what === 'front') {
    const block = await done(blocks().get(0));
    const text = String(block?.text).replace(/"total":\d+/u, '"total":9');
    if (block !== undefined) await done(blocks().put({ ...block, text }, 0));
  }
  if (what === 'facts') await done(blocks().clear());
  library.close();
  facts.close();
}

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
