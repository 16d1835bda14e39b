import { readFileSync } from 'node:fs';
import path from 'node:path';
import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import { versionOf } from '../../../../src/core/library/in-step/decide';
import type { Phrase } from '../../../../src/core/phrase/types';
import { fail } from '../../../../src/core/result';
import { carry } from '../../../../src/io/folder/carry';
import { FileLibrary } from '../../../../src/io/folder/file-library';
import { type Notes, noNotes } from '../../../../src/io/folder/notes';
import { asDocument } from '../../../../src/io/json/document';
import { checkVersion, migrationSequence } from '../../../../src/io/json/migrate';
import { olderForms } from '../../../../src/io/json/older-forms';
import { LESSON_MIGRATIONS, PHRASE_MIGRATIONS } from '../../../../src/io/json/versions';
import '../../../../src/io/kinds/checks-at-hand';
import type { AnyKind, Kind } from '../../../../src/io/kinds/kind';
import { KINDS, PHRASES } from '../../../../src/io/kinds/kinds';
import { build } from '../../../support/build';
import { MemoryFolder } from '../../../support/memory-folder';
import { runs } from '../../../support/thorough';

/*
 * A program that knows phrases of version 4 and this one in one folder. What the older writes this one takes into version 5,
 * which the older cannot read; what the older edits then was made of what this one has.
 */

/** Phrases as the program of 2026-11-28 has them: `decodePhrase` of then gave the same but for the number. */
const versions = migrationSequence('degreewise-phrase', PHRASE_MIGRATIONS.steps.slice(0, 3));
const OLDER_PHRASES: Kind<Phrase> = {
  ...PHRASES,
  versions,
  decode: (input) => {
    const document = asDocument(input);
    if (!document.ok) return document;
    const late = checkVersion(versions, document.value);
    if (late !== null) return fail(late);
    const read = PHRASES.decode(document.value);
    return read.ok ? { ...read, value: asOlder(read.value) } : read;
  },
};
const OLDER_KINDS: readonly AnyKind[] = [
  OLDER_PHRASES,
  ...KINDS.filter((k) => k.name !== 'phrase'),
];
class OlderLibrary extends FileLibrary {
  override readonly kinds = OLDER_KINDS;
}

function asOlder(phrase: Phrase): Phrase {
  // The one field in which the two differ.
  return { ...phrase, version: 4 as unknown as Phrase['version'] };
}

const read = PHRASES.decode({ ...build('q 4/5 3/4 3/5 4/5'), id: 'p1' });
if (!read.ok) throw new Error(JSON.stringify(read.problems));
const PHRASE = read.value;
const titled = (title: string, p = PHRASE): Phrase => ({ ...p, meta: { ...p.meta, title } });
const NAME = { kind: PHRASES, id: 'p1' };

let folder: MemoryFolder;
let older: OlderLibrary;
let newer: FileLibrary;
let notes: { older: Notes; newer: Notes };
let time: number;
const now = () => new Date(1_780_000_000_000 + ++time * 1000).toISOString();
const lookOlder = () => carry(older, folder, notes.older, { now: now() });
const lookNewer = () => carry(newer, folder, notes.newer, { now: now() });

beforeEach(() => {
  folder = new MemoryFolder();
  older = new OlderLibrary([{ kind: OLDER_PHRASES, value: asOlder(titled('Two doors')) }]);
  newer = new FileLibrary([]);
  notes = { older: noNotes(), newer: noNotes() };
  time = 0;
});

const titles = (library: FileLibrary) =>
  library.all().map(({ value }) => (value as Phrase).meta.title);
const editOlder = (title: string) =>
  older.put({ kind: OLDER_PHRASES, value: asOlder(titled(title)) });

describe('an older program in the same folder', () => {
  it('names a version by its own form, which the newer reckons the same', () => {
    // As the program of 2026-11-28, 19:45, wrote the frozen phrase of version 4.
    const frozen = PHRASES.decode(
      readFileSync(path.join('tests', 'migrations', 'phrase-v4.json'), 'utf8'),
    );
    if (!frozen.ok) throw new Error(JSON.stringify(frozen.problems));
    expect(olderForms(PHRASES.versions, frozen.value).map(versionOf)[0]).toBe('d0bfe3db7989ae75');
  });

  it('edits what the newer has taken into its form: no second copy, edit after edit', async () => {
    await lookOlder();
    await lookNewer();
    for (const title of ['Three doors', 'Four doors', 'Five doors']) {
      editOlder(title);
      await lookOlder();
      const { lines } = await lookNewer();
      expect(lines.map((l) => l.what)).toEqual(['changed in the library']);
      expect(titles(newer)).toEqual([title]);
      expect((await lookNewer()).lines).toEqual([]);
    }
    expect([...folder.texts.keys()].filter((p) => p.startsWith('phrases/'))).toHaveLength(1);
  });

  it('removes it, and it stays removed', async () => {
    await lookOlder();
    await lookNewer();
    older.drop({ kind: OLDER_PHRASES, id: 'p1' });
    await lookOlder();
    await lookNewer();
    expect(newer.all()).toEqual([]);
  });

  it('keeps both where both have edited it', async () => {
    await lookOlder();
    await lookNewer();
    newer.put({ kind: PHRASES, value: titled('Of the newer') });
    await lookNewer();
    editOlder('Of the older');
    await lookOlder();
    await lookNewer();
    expect(titles(newer).sort()).toEqual(['Of the newer', 'Of the older']);
  });

  it('is not taken for a version before by what this program wrote until now', async () => {
    await lookOlder();
    const [path, text] = [...folder.texts][0]!;
    const is = /"is": "([0-9a-f]+)"/u.exec(text)![1]!;
    // Made of the older's file, with the older's name of it as past.
    const value = titled('Two doors');
    const asWritten = text
      .replace(`"is": "${is}"`, `"is": "${versionOf(value)}"`)
      .replace('"past": []', `"past": ["${is}"]`)
      .replace(/"thing": .*\n/u, `"thing": ${JSON.stringify(value)}\n`);
    folder.set(path, asWritten);
    newer.put({ kind: PHRASES, value });
    notes.newer.setThing('phrase p1', { version: versionOf(value), past: [is] });
    for (let i = 0; i < 2; i++) {
      expect((await lookNewer()).lines).toEqual([]);
      expect(titles(newer)).toEqual(['Two doors']);
    }
    // An edit of the older is one all the same.
    editOlder('Three doors');
    await lookOlder();
    await lookNewer();
    expect(titles(newer)).toEqual(['Three doors']);
  });

  it('is replaced by this one: what another edited meanwhile is no second copy', async () => {
    await lookOlder();
    await lookNewer();
    newer.put({ kind: PHRASES, value: titled('Three doors') });
    await lookNewer();
    const replaced = new FileLibrary([{ kind: PHRASES, value: titled('Two doors') }]);
    await carry(replaced, folder, notes.older, { now: now() });
    expect(titles(replaced)).toEqual(['Three doors']);
    expect(replaced.get(NAME)).toEqual(newer.get(NAME));
  });
});

it('loses nothing and brings nothing back, whoever edits, looks and removes', async () => {
  const arbSteps = fc.array(
    fc.constantFrom('older edits', 'newer edits', 'older looks', 'newer looks', 'older removes'),
    { minLength: 3, maxLength: 30 },
  );
  await fc.assert(
    fc.asyncProperty(arbSteps, async (steps) => {
      folder = new MemoryFolder();
      older = new OlderLibrary([]);
      newer = new FileLibrary([]);
      notes = { older: noNotes(), newer: noNotes() };
      editOlder('T0');
      await lookOlder();
      await lookNewer();
      const [written, over] = [new Set(['T0']), new Set<string>()];
      const before = (library: FileLibrary) =>
        (library.get(NAME) as Phrase | null)?.meta.title ?? 'none';
      for (const [i, s] of steps.entries()) {
        const title = `T${i + 1}`;
        if (s === 'older looks') await lookOlder();
        else if (s === 'newer looks') await lookNewer();
        else {
          const library = s === 'newer edits' ? newer : older;
          over.add(before(library));
          if (s === 'older removes') older.drop({ kind: OLDER_PHRASES, id: 'p1' });
          else {
            written.add(title);
            const value = { ...titled(title), meta: { ...PHRASE.meta, title, modified: now() } };
            if (library === newer) newer.put({ kind: PHRASES, value });
            else older.put({ kind: OLDER_PHRASES, value: asOlder(value) });
          }
        }
      }
      for (let round = 0; round < 3; round++) {
        await lookOlder();
        await lookNewer();
      }
      expect((await lookNewer()).lines).toEqual([]);
      const here = titles(newer);
      expect([...written].filter((t) => !over.has(t) && !here.includes(t))).toEqual([]);
      over.delete('none');
      expect(over.has(before(newer))).toBe(false);
    }),
    { numRuns: runs(100, 3000), seed: 20_261_129 },
  );
});

it('knows the forms of older programs as far back as nothing but the number changed', () => {
  const numbers = (s: typeof PHRASE_MIGRATIONS) =>
    olderForms(s, { version: s.newest }).map((d) => d.version);
  expect(numbers(PHRASE_MIGRATIONS)).toEqual([4, 3, 2, 1]);
  expect(numbers(LESSON_MIGRATIONS)).toEqual([1]);
  const changed = { to: 3, change: 'a field', migrate: (d: object) => ({ ...d, field: 1 }) };
  const same = (to: number) => ({ to, change: 'nothing' });
  expect(numbers(migrationSequence('made-up', [same(2), changed, same(4)]))).toEqual([3]);
});
