import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fillSlots } from '../../../../src/core/joins/fill';
import { join } from '../../../../src/core/joins/join';
import { logShares } from '../../../../src/core/joins/share';
import { type Sketch, sketchOf } from '../../../../src/core/joins/sketch';
import { TICKS_PER_QUARTER } from '../../../../src/core/phrase/types';

const phrase = fc
  .array(fc.tuple(fc.integer({ min: 52, max: 76 }), fc.constantFrom(1, 2, 4)), {
    minLength: 2,
    maxLength: 6,
  })
  .map((notes) => {
    let at = 0;
    return sketchOf(
      notes.map(([midi, eighths]) => {
        const onset = (at * TICKS_PER_QUARTER) / 2;
        at += eighths;
        return { onset, duration: (eighths * TICKS_PER_QUARTER) / 2, midi };
      }),
    );
  });

/** Every way there is, one by one. */
function bruteForce(before: Sketch, slots: readonly (readonly Sketch[])[], after: Sketch | null) {
  let best = { worth: -Infinity, way: [] as readonly number[] };
  const go = (way: readonly number[], worth: number, earlier: Sketch | null, last: Sketch) => {
    const next = slots[way.length];
    if (next === undefined) {
      const whole = worth + (after === null ? 0 : join(last, after, 0, earlier));
      if (whole > best.worth) best = { worth: whole, way };
      return;
    }
    const shares = logShares(next.map((b) => join(last, b, 0, earlier)));
    for (const [k, b] of next.entries()) go([...way, k], worth + shares[k]!, last, b);
  };
  go([], 0, null, before);
  return best;
}

/** What a way is worth. */
function worthOf(
  before: Sketch,
  slots: readonly (readonly Sketch[])[],
  after: Sketch | null,
  way: readonly number[],
): number {
  let [earlier, last, worth]: [Sketch | null, Sketch, number] = [null, before, 0];
  for (const [i, k] of way.entries()) {
    const next = slots[i]!;
    worth += logShares(next.map((b) => join(last, b, 0, earlier)))[k]!;
    [earlier, last] = [last, next[k]!];
  }
  return worth + (after === null ? 0 : join(last, after, 0, earlier));
}

describe('places in a row', () => {
  it('are filled by the best of all ways, with the phrase before the one before counted', () => {
    const slots = fc.array(fc.array(phrase, { minLength: 1, maxLength: 5 }), {
      minLength: 1,
      maxLength: 4,
    });
    fc.assert(
      fc.property(phrase, slots, fc.option(phrase), (before, all, after) => {
        const way = fillSlots(before, all, after);
        expect(way).toHaveLength(all.length);
        expect(worthOf(before, all, after, way)).toBeCloseTo(
          bruteForce(before, all, after).worth,
          9,
        );
      }),
      { numRuns: 60 },
    );
  });

  it('are never filled worse than with the phrase before alone, however many there are', () => {
    const many = fc.array(phrase, { minLength: 26, maxLength: 34 });
    fc.assert(
      fc.property(phrase, many, many, phrase, (before, first, second, after) => {
        const begin = logShares(first.map((a) => join(before, a)));
        let plain = { worth: -Infinity, way: [0, 0] };
        for (const [i, a] of first.entries()) {
          const then = logShares(second.map((b) => join(a, b)));
          for (const [j, b] of second.entries()) {
            const worth = begin[i]! + then[j]! + join(b, after);
            if (worth > plain.worth) plain = { worth, way: [i, j] };
          }
        }
        const slots = [first, second];
        const way = fillSlots(before, slots, after);
        expect(worthOf(before, slots, after, way)).toBeGreaterThanOrEqual(
          worthOf(before, slots, after, plain.way) - 1e-9,
        );
      }),
      { numRuns: 10 },
    );
  });
});
