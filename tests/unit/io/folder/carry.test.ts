import { beforeEach, expect, it } from 'vitest';
import { newCollection } from '../../../../src/core/library/collection';
import type { Phrase } from '../../../../src/core/phrase/types';
import { carry } from '../../../../src/io/folder/carry';
import { FileLibrary } from '../../../../src/io/folder/file-library';
import { isPathOf, markIn, pathOf } from '../../../../src/io/folder/names';
import { noNotes } from '../../../../src/io/folder/notes';
import type { LibraryChange } from '../../../../src/io/folder/ports';
import { encodePhrase } from '../../../../src/io/json/encode';
import '../../../../src/io/kinds/checks-at-hand';
import { COLLECTIONS, PHRASES } from '../../../../src/io/kinds/kinds';
import { build } from '../../../support/build';
import { MemoryFolder } from '../../../support/memory-folder';

const now = '2026-11-27T12:00:00.000Z';
const read = PHRASES.decode({ ...build('q 4/5 3/4 3/5 4/5'), id: 'p1' });
if (!read.ok) throw new Error(JSON.stringify(read.problems));
const PHRASE = read.value;
const titled = (title: string, p = PHRASE): Phrase => ({ ...p, meta: { ...p.meta, title } });
const NAME = { kind: PHRASES, id: 'p1' };

let library: FileLibrary;
let folder: MemoryFolder;
let notes = noNotes();
const step = () => carry(library, folder, notes, { now });
const said = async () => (await step()).lines.map((l) => l.what);
const path = () => [...folder.texts.keys()].find((p) => p.startsWith('phrases/'))!;

beforeEach(async () => {
  library = new FileLibrary([{ kind: PHRASES, value: titled('Two doors: ♭3 & 3') }]);
  folder = new MemoryFolder();
  notes = noNotes();
  await step();
});

it('names files by what they hold, and renames them with the title', async () => {
  expect(path()).toMatch(/^phrases\/two-doors-b3-3\.[0-9a-f]{8}\.json$/u);
  library.put({ kind: PHRASES, value: titled('One door') });
  expect(await said()).toEqual(['changed in the folder']);
  expect([...folder.texts.keys()]).toEqual([pathOf(PHRASES, 'p1', 'One door')]);
  const value = newCollection(['p1'], { id: 'c1', now, title: '' });
  const checked = COLLECTIONS.decode(value);
  if (checked.ok) library.put({ kind: COLLECTIONS, value: checked.value });
  await step();
  expect([...folder.texts.keys()][1]).toMatch(/^collections\/collection\.[0-9a-f]{8}\.json$/u);
  // What systems and services make of a name is still known.
  const plain = pathOf(PHRASES, 'p1', 'Étude');
  expect(isPathOf(plain.normalize('NFD'), PHRASES, 'p1', 'Étude')).toBe(true);
  expect(isPathOf(plain.replace('.json', '-2.json'), PHRASES, 'p1', 'Étude')).toBe(true);
  expect(isPathOf(plain, PHRASES, 'p1', 'Other')).toBe(false);
  expect(markIn(plain)).toBe(markIn(plain.replace('.json', ' (1).json')));
  expect(markIn('phrases/mine.json')).toBeNull();
  // A device has that name on some systems, whatever follows.
  expect(pathOf(PHRASES, 'p1', 'Nul')).toMatch(/^phrases\/nul-phrase\.[0-9a-f]{8}\.json$/u);
});

it('takes what was edited by hand, and leaves what is missing, foreign or half there', async () => {
  const text = folder.texts.get(path())!;
  folder.set(path(), text.replace('Two doors', 'Three doors'));
  expect(await said()).toEqual(['changed in the library']);
  expect(library.get(NAME)).toMatchObject({ meta: { title: 'Three doors: ♭3 & 3' } });
  // The file has the name of what is in it, and nothing lies beside it.
  expect([...folder.texts.keys()]).toEqual([pathOf(PHRASES, 'p1', 'Three doors: ♭3 & 3')]);

  folder.set(path(), null);
  expect(await said()).toEqual(['new in the folder']);

  const here = path();
  const whole = folder.texts.get(here)!;
  folder.set(here, whole.slice(0, 200));
  folder.set('letters/mine.json', '{"format":"letter"}');
  folder.set('notes.json', 'no JSON');
  const half = await step();
  expect(half.lines).toEqual([]);
  expect(half.unreadable.map((u) => u.path)).toEqual([here]);
  // What is to be said meanwhile goes to another name.
  library.put({
    kind: PHRASES,
    value: titled('Three doors: ♭3 & 3', { ...PHRASE, tempo: { ...PHRASE.tempo, bpm: 71 } }),
  });
  await step();
  expect(folder.texts.get(here)).toBe(whole.slice(0, 200));
  expect([...folder.texts.keys()].filter((p) => p.startsWith('phrases/'))).toHaveLength(2);
  folder.set(here, whole);
  await step();
  expect(path()).toMatch(/^phrases\/three-doors/u);
  expect(folder.texts.get(path())).toContain('"bpm":71');
  expect(folder.texts.get('notes.json')).toBe('no JSON');
});

it('removes what was removed, unless it was changed elsewhere, and late files do not bring it back', async () => {
  const here = path();
  const old = folder.texts.get(here)!;
  library.drop(NAME);
  expect(await said()).toEqual(['removed from the folder']);
  expect([...folder.texts.keys()]).toEqual([expect.stringMatching(/^removed\/.*\.gone$/u)]);
  folder.set(here, old);
  expect(await said()).toEqual([]);
  expect(library.all()).toEqual([]);
  expect(folder.texts.has(here)).toBe(false);
  // Another library that has never been in step brings it back: it may be a backup.
  library = new FileLibrary([{ kind: PHRASES, value: titled('Two doors: ♭3 & 3') }]);
  notes = noNotes();
  await step();
  expect(library.all()).toHaveLength(1);
  // Taken back from what was removed: it is there again, and stays.
  library.drop(NAME);
  await step();
  library.put({ kind: PHRASES, value: titled('Two doors: ♭3 & 3') });
  await step();
  expect(await said()).toEqual([]);
  expect(library.all()).toHaveLength(1);
  expect(path()).toBe(here);
});

it('reads what somebody put there, keeps both where it differs, and leaves the file', async () => {
  const exported = encodePhrase(titled('Another', { ...PHRASE, id: 'p2' }));
  folder.set('exported.json', exported);
  expect(await said()).toEqual(['new in the library']);
  expect(folder.texts.get('exported.json')).toBe(exported);
  folder.set('older.json', encodePhrase(titled('An older one')));
  expect(await said()).toContain('kept as both');
  expect(library.all()).toHaveLength(3);
  expect(await said()).toEqual([]);
  expect([...folder.texts.keys()].filter((p) => p.startsWith('phrases/'))).toHaveLength(3);
});

/** One phrase changed in the library and twice in the folder, which a service kept as two files. */
function changedThrice(): void {
  const here = path();
  const text = folder.texts.get(here)!;
  library.put({ kind: PHRASES, value: titled('Here') });
  // By hand: made of what it says it is.
  folder.set(here, text.replace('Two doors: ♭3 & 3', 'There'));
  folder.set(here.replace('.json', ' (1).json'), text.replace('Two doors: ♭3 & 3', 'Elsewhere'));
}
const titlesIn = (texts: readonly string[]) =>
  ['Here', 'There', 'Elsewhere'].filter((t) =>
    texts.some((text) => text.includes(`"title":"${t}"`)),
  );

it('ends anywhere, and every version lies in the folder or in the library as it was', async () => {
  let ended = 0;
  for (let most = 0; ; most++) {
    library = new FileLibrary([{ kind: PHRASES, value: titled('Two doors: ♭3 & 3') }]);
    folder = new MemoryFolder();
    notes = noNotes();
    await step();
    changedThrice();
    const kept = JSON.stringify(library.all());
    folder.onWrite = () => {
      if (folder.writes > most) throw new Error('killed');
    };
    folder.writes = 0;
    const whole = await step().catch(() => null);
    expect(titlesIn([kept, ...folder.texts.values()])).toHaveLength(3);
    if (whole !== null) break;
    ended += 1;
  }
  expect(ended).toBeGreaterThan(3);
  expect(library.all()).toHaveLength(3);
  expect(titlesIn([...folder.texts.values()])).toHaveLength(3);
});

it('changes nothing of a thing whose other version the library does not take', async () => {
  changedThrice();
  const files = new Map(folder.texts);
  const take = (changes: readonly LibraryChange[]) =>
    FileLibrary.prototype.take.call(
      library,
      changes.filter((c) => !c.id.includes('.v-')),
    );
  library.take = take;
  const { lines, waiting } = await step();
  expect([lines, waiting]).toEqual([[], 1]);
  expect(library.get(NAME)).toMatchObject({ meta: { title: 'Here' } });
  expect(folder.texts).toEqual(files);
  library = new FileLibrary(library.all());
  expect(await said()).toContain('kept as both');
  expect(library.all()).toHaveLength(3);
});

it('takes for no removal what the library lists and does not give', async () => {
  const files = new Map(folder.texts);
  library.put({ kind: PHRASES, value: titled('One door') });
  library.load = async () => [];
  expect(await said()).toEqual([]);
  expect(folder.texts).toEqual(files);
});

it('writes over an empty file of that name, as a page leaves one that goes away while it makes it', async () => {
  const at = path();
  folder.set(at, '');
  notes = noNotes();
  expect((await step()).lines.map((l) => l.what)).toEqual(['new in the folder']);
  expect([...folder.texts.keys()]).toEqual([at]);
  expect((await step()).unreadable).toEqual([]);
});
