import { expect, it, vi } from 'vitest';
import { PLAYED } from '../../src/io/kinds/file-kinds';
import { PHRASES } from '../../src/io/kinds/kinds';
import { recordingOf } from '../../src/storage/recordings';
import { BesideIn, libraryOf } from '../../src/ui/frame/beside-in';
import { playedOf } from '../support/played';
import { freshBrowser, phraseNamed, saved } from './support';

/* How phrases were played comes in with them, under the ids under which they came in. */

const box = freshBrowser();
it('goes where its phrase went, to both of two versions, and away with the rest of a file', async () => {
  const store = await box.browser.ready();
  const mine = phraseNamed('a', 'Mine');
  await saved(store, mine, null);
  // Another version of it from the file, and a phrase that had nothing but the id in common with one that is here.
  await saved(store, { ...phraseNamed('a2', 'Theirs'), parent: 'a', meta: mine.meta }, null);
  await saved(store, phraseNamed('b', 'Mine too'), null);
  const other = phraseNamed('b2', 'Another');
  await saved(store, { ...other, meta: { ...other.meta, created: '2026-02-02T08:00:00Z' } }, null);
  const renamed = new Map([
    [`${PHRASES.name} a`, 'a2'],
    [`${PHRASES.name} b`, 'b2'],
  ]);
  const things = ['a', 'b', 'c'].map((id) => ({ kind: PLAYED, value: playedOf(id) }));
  const own = { kind: PHRASES, value: mine };
  expect(libraryOf([...things, own])).toEqual([own]);
  const coming = new BesideIn(store);
  await coming.from([...things, own], renamed);
  const ids = ['a', 'a2', 'b', 'b2', 'c'];
  const there = async () =>
    (await Promise.all(ids.map(recordingOf))).map((r) => r?.played?.id ?? null);
  expect(await there()).toEqual(['a', 'a2', null, 'b2', 'c']);
  expect([coming.seen, coming.remarks()]).toEqual([3, []]);
  expect(await coming.takeBack()).toEqual([]);
  expect(await there()).toEqual([null, null, null, null, null]);
});

it('counts as seen what the part of the program that keeps it did not come for, and says so', async () => {
  const store = await box.browser.ready();
  vi.doMock('../../src/ui/frame/played-in', () => {
    throw new TypeError('Failed to fetch dynamically imported module');
  });
  try {
    const coming = new BesideIn(store);
    await coming.from([{ kind: PLAYED, value: playedOf('a') }], new Map());
    // Fewer than there are in the file would be told as an import that somebody has stopped.
    expect(coming.seen).toBe(1);
    expect(coming.remarks()).toHaveLength(1);
    expect(await coming.takeBack()).toEqual([]);
  } finally {
    vi.doUnmock('../../src/ui/frame/played-in');
  }
});
