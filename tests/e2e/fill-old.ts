import type { Page } from 'playwright';
import type { Phrase } from '../../src/core/phrase/types';

/** Fills a database of version 3; the seal is that of \`storage/seal.ts\`. */
const FILL = `async ({ texts, from, to, last }) => {
  const seal = (key, text) => {
    let [a, b] = [0x811c9dc5, 0x013532a7];
    for (const part of ['1 degreewise-phrase 3 ' + key + ' ', text]) {
      for (let i = 0; i < part.length; i++) {
        const c = part.charCodeAt(i);
        a = Math.imul(a ^ c, 0x01000193);
        b = Math.imul(b ^ (c + i), 0x01000193);
      }
    }
    return (a >>> 0) * 0x100000 + ((b >>> 8) & 0xfffff);
  };
  const db = await new Promise((resolve, reject) => {
    const o = indexedDB.open('degreewise', 3);
    o.onupgradeneeded = () => {
      o.result.createObjectStore('records', { keyPath: 'id' }).createIndex('revision', 'revision');
      o.result.createObjectStore('meta');
    };
    o.onsuccess = () => resolve(o.result);
    o.onerror = () => reject(o.error);
  });
  const tx = db.transaction(['records', 'meta'], 'readwrite', { durability: 'relaxed' });
  for (let i = from; i < to; i++) {
    const id = 'large-' + i;
    const text = texts[i % texts.length].replaceAll('@ID@', id).replaceAll('@N@', String(i));
    tx.objectStore('records').put({ id, revision: i + 1, text, sum: seal(id, text) });
  }
  if (last) {
    tx.objectStore('meta').put(to, 'sequence');
    tx.objectStore('meta').put(1, 'samples');
  }
  await new Promise((resolve, reject) => {
    tx.oncomplete = resolve;
    tx.onabort = () => reject(tx.error);
  });
  db.close();
}`;

/** Lays so many phrases into a browser as an older program left them, each one of the samples. */
export async function fillOld(
  page: Page,
  address: string,
  samples: readonly Phrase[],
  size: number,
): Promise<void> {
  const texts = samples.map((phrase) =>
    JSON.stringify({
      ...phrase,
      id: '@ID@',
      meta: { ...phrase.meta, title: `${phrase.meta.title} @N@` },
    }),
  );
  // A page of this address without the app, which would make the database.
  await page.route('**/blank', (r) => r.fulfill({ contentType: 'text/html', body: '<p>blank' }));
  await page.goto(`${address}blank`);
  for (let from = 0; from < size; from += 2_000) {
    const to = Math.min(size, from + 2_000);
    await page.evaluate(`(${FILL})(${JSON.stringify({ texts, from, to, last: to === size })})`);
  }
}
