import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type FileNote, Notes, type ThingNote } from '../../../../src/io/folder/notes';
import { readOlderNotes } from '../../../../src/io/folder/older-notes';

const version = fc.constantFrom('0000000000000001', '0123456789abcdef', 'fedcba9876543210');
const thing: fc.Arbitrary<ThingNote> = fc.record(
  { version: fc.option(version), past: fc.array(version, { maxLength: 3 }), sum: fc.nat() },
  { requiredKeys: ['version', 'past'] },
);
const key = fc.constantFrom(...Array.from({ length: 12 }, (_, i) => `phrase ${i}`));
const path = fc.constantFrom(...Array.from({ length: 9 }, (_, i) => `phrases/${i}.json`));
const file: fc.Arbitrary<FileNote> = fc.oneof(
  fc.record({ stamp: fc.string() }),
  fc.record({
    stamp: fc.string(),
    key,
    version: fc.option(version),
    past: fc.array(version, { maxLength: 3 }),
    ours: fc.boolean(),
    untouched: fc.boolean(),
  }),
);
const step = fc.oneof(
  fc.tuple(fc.constant('thing' as const), key, thing),
  fc.tuple(fc.constant('file' as const), path, file),
  fc.tuple(fc.constant('gone' as const), path, fc.constant(null)),
  fc.tuple(fc.constant('kept' as const), fc.constant(''), fc.constant(null)),
);

/** All that notes tell. */
function told(notes: Notes) {
  return {
    things: [...notes.keys()].sort().map((k) => [k, notes.thing(k)]),
    files: [...notes.filePaths()].sort().map((p) => [p, notes.file(p)]),
    paths: [...notes.keysOfFiles()].sort().map((k) => [k, [...notes.pathsOf(k)].sort()]),
  };
}

it('keeps what changed, and that is all there is to keep', () => {
  fc.assert(
    fc.property(fc.array(step, { maxLength: 40 }), (steps) => {
      const notes = new Notes();
      const kept = new Map<number, string>();
      /** Another window, which reads what this one has kept. */
      const other = new Notes();
      const things = new Map<string, ThingNote>();
      const files = new Map<string, FileNote>();
      const keep = () => {
        for (const [block, text] of notes.takeChanged()) {
          kept.set(block, text);
          expect(other.read([block, text])).toBe(true);
        }
      };
      for (const [what, name, note] of steps) {
        if (what === 'thing') {
          notes.setThing(name, note);
          things.set(name, note);
        } else if (what === 'file') {
          notes.setFile(name, note);
          files.set(name, note);
        } else if (what === 'gone') {
          notes.dropFile(name);
          files.delete(name);
        } else {
          keep();
        }
      }
      keep();
      const again = new Notes();
      for (const [block, text] of kept) again.read([block, text]);
      expect(told(notes).things).toEqual([...things].sort(([a], [b]) => (a < b ? -1 : 1)));
      expect(told(notes).files).toEqual([...files].sort(([a], [b]) => (a < b ? -1 : 1)));
      expect(told(again)).toEqual(told(notes));
      expect(told(other)).toEqual(told(notes));
      expect(notes.takeChanged()).toEqual([]);
    }),
    { numRuns: 60 },
  );
});

it('writes one block for one edit, however much there is', () => {
  const notes = new Notes();
  const past = Array.from({ length: 400 }, (_, i) => i.toString(16).padStart(16, '0'));
  const put = (i: number, version: string) => {
    const of = { key: `phrase ${i}`, version, past, ours: true, untouched: true };
    notes.setThing(of.key, { version, past, sum: 1 });
    notes.setFile(`phrases/${i}.json`, { stamp: version, ...of });
  };
  for (let i = 0; i < 500; i++) put(i, '0123456789abcdef');
  const first = notes.takeChanged();
  // The many versions that are past stand in it once, not once for the thing and once for its file.
  expect(first.reduce((sum, [, text]) => sum + text.length, 0)).toBeLessThan(500 * 400 * 16 * 1.1);
  put(77, 'fedcba9876543210');
  const second = notes.takeChanged();
  expect(second).toHaveLength(1);
  expect(second[0]![1].length).toBeLessThan(10 * 400 * 16);
  // The same again is no change.
  put(77, 'fedcba9876543210');
  expect(notes.takeChanged()).toEqual([]);
});

it('knows nothing of a block that is damaged or lies in another place', () => {
  const notes = new Notes();
  notes.setThing('phrase quay', { version: '0123456789abcdef', past: [] });
  const [[block, text]] = notes.takeChanged() as [readonly [number, string]];
  for (const wrong of [text.slice(1), text.replace('0123', 'zzzz'), '{}', '[]', 'null']) {
    const other = new Notes();
    expect(other.read([block, wrong])).toBe(false);
    expect(other.size).toBe(0);
  }
  expect(new Notes().read([(block + 1) % 1024, text])).toBe(false);
});

it('reads what was kept before there were blocks', () => {
  const past = ['fedcba9876543210'];
  const thing = { version: '0123456789abcdef', past, sum: 7 };
  const file = { stamp: '1:2', key: 'phrase quay', ...thing, ours: true, untouched: true };
  const { sum: _, ...noted } = file;
  const older = { version: 1, things: [['phrase quay', thing]], files: [['a.json', noted]] };
  const notes = readOlderNotes(JSON.stringify(older));
  expect(notes?.thing('phrase quay')).toEqual(thing);
  expect(notes?.file('a.json')).toEqual(noted);
  expect(readOlderNotes('{"version":1,"things":[')).toBe(null);
  expect(readOlderNotes(JSON.stringify({ ...older, version: 3 }))).toBe(null);
});
