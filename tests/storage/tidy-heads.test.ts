import 'fake-indexeddb/auto';
import { openDB } from 'idb';
import { expect, it, vi } from 'vitest';
import { type Entry, rowOf } from '../../src/storage/head';
import { readLog } from '../../src/storage/head-log';
import type { LibraryDb } from '../../src/storage/schema';
import { tidyLog } from '../../src/storage/tidy-heads';

let meanwhile = async () => {};
vi.mock('../../src/storage/pieces', async (original) => ({
  ...(await original<object>()),
  pause: () => meanwhile(),
}));

it('a window that stood still while another wrote the log anew brings nothing back', async () => {
  const db = await openDB<LibraryDb>('heads-only', 1, {
    upgrade: (made) => {
      made.createObjectStore('heads', { autoIncrement: true });
    },
  });
  const head = (i: number): Entry => {
    const [title, created, modified] = ['T', '', ''];
    const identity = { id: `p${i}`, title, parent: null, created, modified };
    const rest = { removed: null, sample: false, identity, group: null };
    return { key: `p${i}`, revision: i + 1, sum: 1, ...rest };
  };
  await db.add('heads', rowOf(Array.from({ length: 600 }, (_, i) => head(i))));
  meanwhile = async () => {
    meanwhile = async () => {};
    await db.add('heads', rowOf([{ key: 'p590', gone: true }, head(600)]));
    await tidyLog(() => db, true);
  };
  await tidyLog(() => db, true);
  const { known } = await readLog(db);
  expect(known.has('p590')).toBe(false);
  expect([known.size, known.has('p600'), known.has('p599')]).toEqual([600, true, true]);
  db.close();
});
