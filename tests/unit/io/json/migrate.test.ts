import { describe, expect, it } from 'vitest';
import {
  type MigrationStep,
  migrate,
  migrationSequence,
  versionOf,
} from '../../../../src/io/json/migrate';

/** A made-up format: version 2 renames `name` to `title`, version 3 makes `speed` an object. */
const rename: MigrationStep = {
  to: 2,
  change: 'name is called title',
  migrate: ({ name, ...rest }) => ({ ...rest, title: name }),
};
const wrap: MigrationStep = {
  to: 3,
  change: 'speed has a unit',
  migrate: ({ speed, ...rest }) => ({ ...rest, speed: { bpm: speed, unit: 'quarter' } }),
};
const sequence = migrationSequence('made-up', [rename, wrap]);

describe('a sequence of migrations', () => {
  it.each([
    [
      { version: 1, name: 'a', speed: 90 },
      { version: 3, title: 'a', speed: { bpm: 90, unit: 'quarter' } },
    ],
    [
      { version: 2, title: 'b', speed: 80 },
      { version: 3, title: 'b', speed: { bpm: 80, unit: 'quarter' } },
    ],
    [
      { version: 3, title: 'c', speed: { bpm: 70, unit: 'half' } },
      { version: 3, title: 'c', speed: { bpm: 70, unit: 'half' } },
    ],
  ])('starts at the version of the document: %j', (before, after) => {
    const copy = structuredClone(before);
    expect(migrate(sequence, before)).toEqual({ ok: true, value: after });
    expect(before).toEqual(copy);
  });

  it('counts from version 1', () => {
    expect(sequence.newest).toBe(3);
    expect(migrationSequence('new', []).newest).toBe(1);
  });

  it.each([
    ['a gap', [wrap]],
    ['a step twice', [rename, rename]],
    ['the wrong order', [wrap, rename]],
    ['a step to version 1', [{ ...rename, to: 1 }]],
  ])('is refused with %s', (_, steps) => {
    expect(() => migrationSequence('made-up', steps)).toThrow(RangeError);
  });

  it('knows a document of a later version', () => {
    expect(versionOf(sequence, { version: 4 })).toEqual({ kind: 'too new', version: 4 });
    expect(migrate(sequence, { version: 4, name: 'x' })).toEqual({
      ok: false,
      problems: [
        {
          message: 'the file has version 4 of made-up, and this program reads up to 3',
          fix: 'Open it with a newer release of the program.',
          pointer: '/version',
        },
      ],
    });
  });

  it.each([undefined, '1', 0, -1, 1.5, Number.NaN, 1e300, null])(
    'refuses version %j',
    (version) => {
      expect(versionOf(sequence, { version })).toMatchObject({ kind: 'none' });
      expect(migrate(sequence, { version })).toMatchObject({
        ok: false,
        problems: [{ pointer: '/version', fix: 'Write a version from 1 to 3.' }],
      });
    },
  );

  it('asks the document itself for its version, not what it inherits', () => {
    expect(versionOf(sequence, Object.create({ version: 1 }))).toEqual({
      kind: 'none',
      found: undefined,
    });
  });
});
