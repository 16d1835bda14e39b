import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Collection, newCollection, restrictedTo } from '../../src/core/library/collection';
import { mergeLibraries, mergeVersions } from '../../src/core/library/merge';
import type { Pair } from '../../src/core/library/pair';
import type { Phrase } from '../../src/core/phrase/types';
import type { AnyKind } from '../../src/io/kinds/kind';
import '../../src/io/kinds/checks-at-hand';
import { COLLECTIONS, KINDS, PAIRS } from '../../src/io/kinds/kinds';
import { build } from '../support/build';

const PLAIN = build('q 4/5 3/4 3/5 4/5');

/** Few ids, titles and days, so that libraries share phrases and versions of them. */
const arbLibrary: fc.Arbitrary<readonly Phrase[]> = fc.array(
  fc
    .record({
      id: fc.integer({ min: 0, max: 3 }),
      title: fc.integer({ min: 0, max: 2 }),
      day: fc.integer({ min: 1, max: 3 }),
    })
    .map(({ id, title, day }) => ({
      ...PLAIN,
      id: `p${id}`,
      meta: { ...PLAIN.meta, title: `T${title}`, modified: `2026-11-0${day}T10:00:00Z` },
    })),
  { maxLength: 6 },
);
const merge = (...l: readonly (readonly Phrase[])[]) => mergeLibraries(...l).all;
/** What a library holds, whatever the order and the ids. */
const contents = (l: readonly Phrase[]) =>
  new Set(l.map(({ id: _, ...rest }) => JSON.stringify(rest)));
const RUNS = { numRuns: 150, seed: 20_261_127 };

describe('merging libraries', () => {
  it('does not depend on their order, nor on how they are grouped', () => {
    fc.assert(
      fc.property(arbLibrary, arbLibrary, arbLibrary, (a, b, c) => {
        const all = merge(a, b, c);
        expect(merge(c, a, b)).toEqual(all);
        expect(merge(merge(a, b), c)).toEqual(all);
        expect(merge(a, merge(b, c))).toEqual(all);
      }),
      RUNS,
    );
  });

  it('changes nothing the second time', () => {
    fc.assert(
      fc.property(arbLibrary, arbLibrary, (a, b) => {
        const once = merge(a, b);
        expect(merge(once, once)).toEqual(once);
        expect(merge(once, a)).toEqual(once);
      }),
      RUNS,
    );
  });

  it('loses nothing, adds nothing, and gives every phrase an id of its own', () => {
    fc.assert(
      fc.property(arbLibrary, arbLibrary, (a, b) => {
        const all = merge(a, b);
        expect(contents(all)).toEqual(contents([...a, ...b]));
        expect(new Set(all.map((p) => p.id)).size).toBe(all.length);
        // Every id that was there is there.
        for (const p of [...a, ...b]) expect(all.some((q) => q.id === p.id)).toBe(true);
      }),
      RUNS,
    );
  });

  it('keeps the id for the version that was changed last', () => {
    const at = (day: number, title: string): Phrase => ({
      ...PLAIN,
      id: 'p',
      meta: { ...PLAIN.meta, title, modified: `2026-11-0${day}T10:00:00Z` },
    });
    const { all: phrases, kept } = mergeLibraries([at(1, 'old')], [at(2, 'new')]);
    expect(phrases.map((p) => [p.id.slice(0, 5), p.meta.title])).toEqual([
      ['p', 'new'],
      [phrases[1]!.id.slice(0, 5), 'old'],
    ]);
    expect(kept).toEqual([{ id: 'p', title: 'new', versions: 2 }]);
  });
});

/** Few ids, titles, days and phrases. */
const arbCollections: fc.Arbitrary<readonly Collection[]> = fc.array(
  fc
    .record({
      id: fc.integer({ min: 0, max: 2 }),
      title: fc.integer({ min: 0, max: 1 }),
      day: fc.integer({ min: 1, max: 3 }),
      phrases: fc.uniqueArray(fc.integer({ min: 0, max: 5 }), { maxLength: 4 }),
    })
    .map(({ id, title, day, phrases }) => {
      const now = '2026-11-01T10:00:00.000Z';
      const made = newCollection(
        phrases.map((p) => `p${p}`),
        { id: `c${id}`, now, title: `T${title}` },
      );
      return { ...made, meta: { ...made.meta, modified: `2026-11-0${day}T10:00:00.000Z` } };
    }),
  { maxLength: 5 },
);
const JOINING = {
  identityOf: (c: Collection) => COLLECTIONS.identityOf(c),
  withId: (c: Collection, id: string) => ({ ...c, id }),
  joining: COLLECTIONS.joining!,
};
const join = (...l: readonly (readonly Collection[])[]) => mergeVersions(JOINING, ...l).all;
/** But for the order of the phrases inside. */
const sorted = (l: readonly Collection[]) =>
  l.map((c) => ({ ...c, phrases: [...c.phrases].sort() }));

describe('merging collections', () => {
  it('does not depend on their order or grouping, but for the order inside, and a second time changes nothing', () => {
    fc.assert(
      fc.property(arbCollections, arbCollections, arbCollections, (a, b, c) => {
        const all = sorted(join(a, b, c));
        expect(sorted(join(c, a, b))).toEqual(all);
        expect(sorted(join(join(a, b), c))).toEqual(all);
        expect(sorted(join(a, join(b, c)))).toEqual(all);
        const once = join(a, b);
        expect(join(once, once)).toEqual(once);
        expect(sorted(join(once, a))).toEqual(sorted(once));
      }),
      RUNS,
    );
  });

  it('loses no phrase and no title, and takes nothing from one that comes back with a part', () => {
    fc.assert(
      fc.property(arbCollections, arbCollections, (a, b) => {
        const all = join(a, b);
        const pairs = (l: readonly Collection[]) =>
          new Set(
            l.flatMap(({ id, meta, phrases }) =>
              ['', ...phrases].map((p) => `${id.slice(0, 2)} ${meta.title} ${p}`),
            ),
          );
        expect(pairs(all)).toEqual(pairs([...a, ...b]));
        expect(new Set(all.map((c) => c.id)).size).toBe(all.length);
        const part = all.flatMap((c) => restrictedTo(c, new Set(['p1', 'p3'])) ?? []);
        expect(join(all, part)).toEqual(all);
      }),
      RUNS,
    );
  });
});

describe.each(KINDS.map((kind) => [kind.noun, kind] as const))('merging: %s', (_noun, kind) => {
  const mergeable = {
    identityOf: (value: unknown) => kind.identityOf(value),
    withId: (value: unknown, id: string) =>
      kind.withIdentity(value, { ...kind.identityOf(value), id }),
    ...(kind.joining !== undefined && { joining: kind.joining }),
  };
  const merge = (...l: readonly (readonly unknown[])[]) => mergeVersions(mergeable, ...l).all;
  const arbThings = fc.array(
    fc.record({ id: fc.nat(2), title: fc.nat(2), day: fc.integer({ min: 1, max: 3 }) }),
    { maxLength: 5 },
  );
  const things = arbThings.map((all) =>
    all.map(({ id, title, day }) =>
      varied(kind, `t${id}`, `T${title}`, `2026-11-0${day}T10:00:00Z`),
    ),
  );
  /** What may not be lost: of a kept pair its phrases, whatever they were called then. */
  const nameOf = (v: unknown) =>
    kind === PAIRS
      ? [...(v as Pair).phrases].sort().join(' ')
      : `${kind.identityOf(v).title} ${kind.joining ? '' : kind.identityOf(v).modified}`;
  const names = (all: readonly unknown[]) => new Set(all.map(nameOf));

  it('is the same in any order and however often, and nothing is lost', () => {
    fc.assert(
      fc.property(things, things, things, (a, b, c) => {
        const all = merge(a, b, c);
        expect(merge(c, a, b)).toEqual(all);
        expect(merge(merge(a, b), c)).toEqual(all);
        expect(merge(a, merge(b, c))).toEqual(all);
        expect(merge(all, a)).toEqual(all);
        expect(names(all)).toEqual(names([...a, ...b, ...c]));
        const ids = all.map((v) => kind.identityOf(v).id);
        expect(new Set(ids).size).toBe(ids.length);
      }),
      { ...RUNS, numRuns: 40 },
    );
  });
});

const FROZEN = new Map<AnyKind, unknown>();

/** What is frozen of a kind, under another name and day. */
function varied(kind: AnyKind, id: string, title: string, modified: string): unknown {
  const value = FROZEN.get(kind) ?? frozen(kind);
  FROZEN.set(kind, value);
  const { created } = kind.identityOf(value);
  const other = kind.withIdentity(value, { id, parent: null, title, created, modified });
  // Two pairs are told apart by their phrases alone.
  return kind === PAIRS ? { ...(other as Pair), phrases: ['p', `q of ${title}`] } : other;
}

function frozen(kind: AnyKind): unknown {
  const file = new URL(`../migrations/${kind.name}-v${kind.versions.newest}.json`, import.meta.url);
  const read = kind.decode(readFileSync(file, 'utf8'));
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
}
