import { expect, it } from 'vitest';
import { carry } from '../../../../src/io/folder/carry';
import { noNotes } from '../../../../src/io/folder/notes';
import { PHRASES } from '../../../../src/io/kinds/kinds';
import { createMemoryStore } from '../../../../src/storage';
import { storeLibrary } from '../../../../src/ui/frame/folder/store-library';
import { MemoryFolder } from '../../../support/memory-folder';
import { phraseNamed } from '../../../support/phrase-named';

const now = '2026-11-27T12:00:00.000Z';
const quay = phraseNamed('quay', 'Quay');
const ferry = phraseNamed('ferry', 'Ferry');

async function opened(options: Parameters<typeof createMemoryStore>[0]) {
  const store = createMemoryStore(options);
  await store.opened();
  return store;
}

it('leaves the file of a phrase alone that is there and cannot be read', async () => {
  const folder = new MemoryFolder();
  const notes = noNotes();
  const whole = await opened({ phrases: [quay, ferry] });
  await carry(storeLibrary(whole), folder, notes, { now });
  const files = new Map(folder.texts);
  expect(files.size).toBe(2);
  const text = JSON.stringify(quay);
  const later = text.replace(/"version":\d+/u, '"version":9999');
  for (const damaged of [text.slice(0, 50), later]) {
    const store = await opened({ phrases: [ferry], damaged: { quay: damaged } });
    expect(store.snapshot().problems).toHaveLength(1);
    for (const quick of [true, false]) {
      const { lines } = await carry(storeLibrary(store), folder, notes, { now, quick });
      expect([lines, folder.texts]).toEqual([[], files]);
    }
  }
  const mended = await opened({ phrases: [quay, ferry] });
  expect((await carry(storeLibrary(mended), folder, notes, { now })).lines).toEqual([]);
  // What was removed goes as before.
  const without = await opened({ phrases: [ferry] });
  const { lines } = await carry(storeLibrary(without), folder, notes, { now });
  expect(lines.map((l) => l.what)).toEqual(['removed from the folder']);
});

it('does not bring back what was removed since it was read', async () => {
  const store = await opened({ phrases: [quay] });
  const library = storeLibrary(store);
  const name = { kind: PHRASES, id: 'quay' };
  const [read] = await library.load([name]);
  const value = { ...quay, meta: { ...quay.meta, title: 'Quay at night' } };
  await store.remove(['quay']);
  expect(await library.take([{ ...name, was: read!.value, value }])).toEqual(new Map());
  expect(store.snapshot().phrases).toEqual([]);
  // What comes from the folder does, where it had been removed before.
  await library.load([name]);
  expect([...(await library.take([{ ...name, was: null, value }])).keys()]).toEqual([
    'phrase quay',
  ]);
  expect(store.phrase('quay')?.identity.title).toBe('Quay at night');
});

it('says in words why the library does not take something', async () => {
  const store = createMemoryStore({ refuse: () => ({ kind: 'quota', usage: 1, quota: 1 }) });
  await store.opened();
  const change = { kind: PHRASES, id: 'quay', was: null, value: quay };
  await expect(storeLibrary(store).take([change])).rejects.toThrow(
    /no room left for this library/u,
  );
});
