import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mergeLibraries } from '../../src/core/library/merge';
import type { Phrase } from '../../src/core/phrase/types';
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
