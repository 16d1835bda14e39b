import { readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, it, vi } from 'vitest';
import { PHRASES } from '../../src/io/kinds/kinds';
import { decodeLibrary } from '../../src/io/library/decode';
import { asTexts, publishTexts } from '../../src/publish/publish';
import { idbBackend } from '../../src/storage/idb-backend';
import { DATABASE, UPGRADES } from '../../src/storage/schema';
import { sealOf } from '../../src/storage/seal';
import type { LibraryStore } from '../../src/storage/types';
import { seededPhrase } from '../support/arbitrary';
import { freshBrowser, phraseNamed, rawDatabase } from './support';
import '../../src/io/kinds/checks-at-hand';

/* What a library writes to a file without reading it again: what was checked goes as it lies there. */

const box = freshBrowser();

async function large(): Promise<LibraryStore> {
  const store = box.browser.window(UPGRADES, idbBackend(DATABASE, UPGRADES, null, 0));
  expect(await store.opened()).toBe('ready');
  return store;
}

async function written(store: LibraryStore, ids: readonly string[], signal?: AbortSignal) {
  const progress = { onPhrase: () => undefined, signal: signal ?? new AbortController().signal };
  const file = await publishTexts(store.texts(ids), asTexts(), progress);
  const read = decodeLibrary(file.parts.join(''));
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return { phrases: read.value.phrases, count: file.phrases };
}

const ids = (store: LibraryStore) => store.snapshot().phrases.map((p) => p.id);
const byId = <T extends { readonly id: string }>(list: readonly T[]) =>
  [...list].sort((a, b) => (a.id < b.id ? -1 : 1));

it('writes what was checked as it lies there, all of it, and what is written can be read again', async () => {
  const first = await box.browser.ready();
  const many = Array.from({ length: 20 }, (_, i) => ({
    ...seededPhrase(i * 31 + 7, { maxEvents: 6 }),
    id: `p${i}`,
  }));
  await first.add([
    ...many,
    ...Array.from({ length: 240 }, (_, i) => phraseNamed(`q${i}`, `${i}`)),
  ]);
  await first.remove(['p4']);
  const store = await large();
  const check = vi.spyOn(PHRASES, 'decode');
  const texts: string[] = [];
  for await (const some of store.texts(ids(store))) texts.push(...some);
  expect(check).not.toHaveBeenCalled();
  check.mockRestore();
  expect(texts).toHaveLength(259);
  const { phrases, count } = await written(store, ids(store));
  expect(count).toBe(259);
  const expected = await store.loadAll(ids(store));
  expect(byId(phrases)).toEqual(byId(expected.map((s) => s.phrase)));
});

it('keeps the order in which they are asked for, of any number', async () => {
  const first = await box.browser.ready();
  const mixed = Array.from({ length: 300 }, (_, i) => `q${(i * 97) % 300}`);
  await first.add(mixed.map((id) => phraseNamed(id, id)));
  for (const store of [first, await large()]) {
    const { phrases } = await written(store, [...mixed, 'x']);
    expect(phrases.map((p) => p.id)).toEqual(mixed);
  }
});

it('keeps the order of a few, and leaves out what is not there', async () => {
  const store = await box.browser.ready();
  await store.add(['c', 'a', 'b'].map((id) => phraseNamed(id, id)));
  const { phrases } = await written(store, ['c', 'x', 'a', 'b']);
  expect(phrases.map((p) => p.id)).toEqual(['c', 'a', 'b']);
});

it('checks what has no number of its own, is of an older version or was changed; damage is told', async () => {
  const first = await box.browser.ready();
  await first.add(['a', 'b', 'c', 'd'].map((id) => phraseNamed(id, `Was ${id}`)));
  await first.close();
  const old = JSON.stringify({
    ...JSON.parse(readFileSync(path.join(__dirname, '../migrations/phrase-v3.json'), 'utf8')),
    id: 'c',
  });
  const record = (id: string) => rawDatabase('readonly', (r) => r.get(id));
  const put = (value: object) => rawDatabase('readwrite', (r) => r.put(value));
  const { sum: _, ...unsealed } = (await record('a')) as { readonly sum: number };
  await put(unsealed);
  const b = (await record('b')) as { readonly text: string };
  await put({ ...b, text: b.text.replace('"length":', '"lenght":') });
  // A record that an older program wrote gets its number as it is.
  await put({ ...((await record('c')) as object), text: old, sum: sealOf(PHRASES, 'c', old) });
  const store = await large();
  const { phrases, count } = await written(store, ['a', 'b', 'c', 'd']);
  expect(count).toBe(3);
  expect(phrases.map((p) => [p.id, p.version])).toEqual([
    ['a', 5],
    ['c', 5],
    ['d', 5],
  ]);
  expect(store.snapshot().problems.map((p) => p.key)).toEqual(['b']);
});

it('stops when it is told to', async () => {
  const store = await box.browser.ready();
  await store.add(Array.from({ length: 300 }, (_, i) => phraseNamed(`q${i}`, `${i}`)));
  const stop = new AbortController();
  const stopping = written(store, ids(store), stop.signal);
  stop.abort();
  await expect(stopping).rejects.toThrow('abort');
});
