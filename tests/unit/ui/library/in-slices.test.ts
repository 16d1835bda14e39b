import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  NoLongerWanted,
  Slices,
  sortedAgain,
  sortedInSlices,
} from '../../../../src/ui/library/in-slices';

interface One {
  readonly n: number;
}
const compare = (a: One, b: One) => a.n - b.n;
const slices = () => new Slices(() => true);
/** More than are sorted in one piece. */
const many = fc
  .tuple(fc.integer({ min: 0, max: 2_600 }), fc.integer({ min: 1, max: 500 }))
  .map(([size, step]) =>
    Array.from({ length: size }, (_, i): One => ({ n: (i * step * 7919) % 601 })),
  );

describe('putting in order a piece at a time', () => {
  it('is the order of sorting at once, equal ones as they stood', async () => {
    await fc.assert(
      fc.asyncProperty(many, async (list) => {
        expect(await sortedInSlices(list, compare, slices())).toEqual([...list].sort(compare));
      }),
      { numRuns: 8 },
    );
  });

  it('sorts what came into what was in order, and leaves out what went', async () => {
    await fc.assert(
      fc.asyncProperty(
        many,
        fc.array(fc.integer({ min: 0, max: 600 }), { maxLength: 9 }),
        async (list, more) => {
          const before = await sortedInSlices(list, compare, slices());
          const now = [...list.filter((_, i) => i % 5 !== 0), ...more.map((n) => ({ n }))];
          const again = await sortedAgain(before, now, compare, slices());
          expect(again?.map((o) => o.n)).toEqual([...now].sort(compare).map((o) => o.n));
          expect(new Set(again)).toEqual(new Set(now));
        },
      ),
      { numRuns: 8 },
    );
  });

  it('stops where it is no longer wanted', async () => {
    const list = Array.from({ length: 5_000 }, (_, n) => ({ n }));
    await expect(sortedInSlices(list, compare, new Slices(() => false))).rejects.toThrow(
      NoLongerWanted,
    );
  });
});
