import { expect, it } from 'vitest';
import { PHRASES } from '../../../../../src/io/kinds/kinds';
import type { LibraryStore } from '../../../../../src/storage/types';
import type { VersionsSize } from '../../../../../src/storage/versions';
import { whatIsSaved, writeBackup } from '../../../../../src/ui/frame/export/write-backup';

const PROGRESS = { onPhrase: () => {}, signal: new AbortController().signal };
const SIZE: VersionsSize = { versions: 2, characters: 20 };

/** A library without phrases, whose earlier versions are of this size. */
function library(size: VersionsSize | null) {
  const versions = {
    size: async () => size,
    texts: async function* () {
      yield { texts: ['{"n":1}', '{"n":2}'], unread: 0 };
    },
  };
  // What is asked of it here, and no more.
  return { texts: async function* () {}, versions } as unknown as LibraryStore;
}

const saved = async (size: VersionsSize | null, past: VersionsSize | null, withPast: boolean) => {
  const wish = { phrases: [], others: [], withPast, past };
  const { out, ...file } = await writeBackup(library(size), wish, PROGRESS);
  return { text: await new Blob([...out.parts]).text(), ...file };
};

it('has earlier versions, also where it is written before they are counted', async () => {
  for (const past of [SIZE, null]) {
    const file = await saved(SIZE, past, true);
    expect(JSON.parse(file.text).others).toEqual([{ n: 1 }, { n: 2 }]);
    expect(file).toMatchObject({ versions: 2, pastLost: false });
    expect(whatIsSaved(file, 0)).toMatch(/, 2 earlier versions\.$/u);
  }
});

it('says so where they were asked for and cannot be had, and only then', async () => {
  const lost = await saved(null, null, true);
  expect(whatIsSaved(lost, 0)).toMatch(/Not in it: earlier versions, which/u);
  for (const withPast of [true, false]) {
    const none = await saved(withPast ? { versions: 0, characters: 0 } : null, null, withPast);
    expect(whatIsSaved(none, 0)).not.toMatch(/earlier/u);
    expect(none.text).not.toMatch(/"n":1/u);
  }
});

it('counts what could not be read', () => {
  const file = {
    saved: [{ kind: PHRASES }],
    versions: 0,
    unread: 1,
    pastLost: false,
    played: 0,
    unplayed: 2,
  };
  expect(whatIsSaved(file, 2)).toMatch(/1 entry.*1 earlier version.*how 2 phrases were played/u);
});
