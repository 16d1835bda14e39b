import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planArc } from '../../../../src/engrave/ink/arc';
import { overlaps } from '../../../../src/engrave/ink/box';
import { distanceBetween } from '../../../../src/engrave/ink/contour';
import { Pen } from '../../../../src/engrave/ink/pen';
import { Skyline } from '../../../../src/engrave/ink/skyline';
import { type BarWidth, chooseBreaks } from '../../../../src/engrave/space/breaks';
import {
  type Gap,
  idealRoom,
  leastWidth,
  meetReaches,
  placesAt,
  stretchFor,
  widthAt,
} from '../../../../src/engrave/space/springs';

const SEED = { seed: 31, numRuns: 200 };
const gap: fc.Arbitrary<Gap> = fc.record({
  least: fc.integer({ min: 0, max: 60 }),
  ideal: fc.integer({ min: 0, max: 90 }),
});
const gaps = fc.array(gap, { minLength: 1, maxLength: 30 });

describe('springs', () => {
  it('fill a width exactly with one stretch for all, or keep their least', () => {
    fc.assert(
      fc.property(gaps, fc.integer({ min: 10, max: 3_000 }), (list, width) => {
        const f = stretchFor(list, width);
        if (f === 0) expect(leastWidth(list)).toBeGreaterThanOrEqual(width);
        else if (f === Number.POSITIVE_INFINITY)
          expect(list.every((g) => g.ideal === 0)).toBe(true);
        else {
          expect(widthAt(list, f)).toBeCloseTo(width, 6);
          expect(placesAt(list, f).at(-1)).toBeCloseTo(width, 6);
        }
      }),
      SEED,
    );
  });

  it('give equal times equal room, and longer ones more but less than in proportion', () => {
    const times = [0.25, 0.5, 1, 2, 4].map(idealRoom);
    times.slice(1).forEach((room, i) => {
      expect(room).toBeGreaterThan(times[i]!);
      expect(room).toBeLessThan(2 * times[i]!);
    });
    const xs = placesAt(
      [1, 1, 2].map((q) => ({ least: 5, ideal: idealRoom(q) })),
      1.3,
    );
    expect(xs[1]! - xs[0]!).toBeCloseTo(xs[2]! - xs[1]!, 9);
    expect(xs[3]! - xs[2]!).toBeGreaterThan(xs[1]! - xs[0]!);
  });

  it('meet every reach and never shrink a gap', () => {
    const reach = fc.record({
      from: fc.nat(28),
      length: fc.integer({ min: 1, max: 8 }),
      distance: fc.integer({ min: 1, max: 300 }),
    });
    fc.assert(
      fc.property(gaps, fc.array(reach, { maxLength: 6 }), (list, wanted) => {
        const reaches = wanted
          .map((r) => ({ from: r.from, to: r.from + r.length, distance: r.distance }))
          .filter((r) => r.to <= list.length);
        const out = meetReaches(list, reaches);
        out.forEach((g, i) => {
          expect(g.least).toBeGreaterThanOrEqual(list[i]!.least);
        });
        for (const r of reaches) {
          expect(leastWidth(out.slice(r.from, r.to))).toBeGreaterThan(r.distance - 1e-6);
        }
      }),
      SEED,
    );
  });
});

describe('line breaks', () => {
  const bar = (least: number, ideal: number): BarWidth => ({ least, ideal });

  /** Sum of squared logarithms of the stretch against 1.1; the last line may be short. */
  function cost(bars: readonly BarWidth[], starts: readonly number[], first: number, rest: number) {
    return starts.reduce((sum, start, i) => {
      const line = bars.slice(start, starts[i + 1] ?? bars.length);
      const room = i === 0 ? first : rest;
      const least = line.reduce((a, b) => a + b.least, 0);
      const ideal = line.reduce((a, b) => a + b.ideal, 0);
      if (least > room) return sum + 100;
      const off = Math.log(room / Math.max(ideal, least, 1) / 1.1);
      return sum + (i === starts.length - 1 && off > 0 ? 0.6 * off * off : off * off);
    }, 0);
  }

  function everyDivision(n: number): number[][] {
    return Array.from({ length: 2 ** (n - 1) }, (_, bits) => [
      0,
      ...Array.from({ length: n - 1 }, (_, i) => i + 1).filter((i) => (bits >> (i - 1)) & 1),
    ]);
  }

  it('are the best of all divisions of up to nine bars', () => {
    const width = fc
      .integer({ min: 20, max: 300 })
      .chain((least) => fc.integer({ min: 0, max: 200 }).map((more) => bar(least, least + more)));
    fc.assert(
      fc.property(fc.array(width, { minLength: 1, maxLength: 9 }), (bars) => {
        const chosen = chooseBreaks(bars, 420, 500);
        const best = Math.min(...everyDivision(bars.length).map((d) => cost(bars, d, 420, 500)));
        expect(cost(bars, chosen, 420, 500)).toBeCloseTo(best, 9);
      }),
      { seed: 8, numRuns: 60 },
    );
  });

  it('divide equal bars evenly: twelve into fours, thirteen not into twelve and one', () => {
    const bars = Array.from({ length: 13 }, () => bar(80, 190));
    expect(chooseBreaks(bars.slice(0, 12), 820, 840)).toEqual([0, 4, 8]);
    const lines = chooseBreaks(bars, 820, 840);
    const sizes = lines.map((s, i) => (lines[i + 1] ?? 13) - s);
    expect(Math.max(...sizes) - Math.min(...sizes)).toBeLessThanOrEqual(1);
  });
});

describe('outlines', () => {
  const box = fc.record({
    x: fc.integer({ min: 0, max: 200 }),
    y: fc.integer({ min: -100, max: 100 }),
    w: fc.integer({ min: 1, max: 60 }),
    h: fc.integer({ min: 1, max: 40 }),
  });
  const boxOf = (b: { x: number; y: number; w: number; h: number }) => ({
    x0: b.x,
    y0: b.y,
    x1: b.x + b.w,
    y1: b.y + b.h,
  });

  it('put a box clear of everything below it', () => {
    fc.assert(
      fc.property(fc.array(box, { maxLength: 20 }), box, (list, b) => {
        const sky = new Skyline(-1, 300, 0);
        const boxes = list.map(boxOf);
        sky.addAll(boxes);
        const mine = boxOf(b);
        const top = sky.at(mine.x0, mine.x1);
        const placed = { ...mine, y0: top - 2 - b.h, y1: top - 2 };
        expect(boxes.some((o) => overlaps(o, placed))).toBe(false);
        expect(top).toBeLessThanOrEqual(0);
      }),
      SEED,
    );
  });

  it('stand two groups beside each other without touching, and no further apart than they must', () => {
    fc.assert(
      fc.property(
        fc.array(box, { minLength: 1, maxLength: 6 }),
        fc.array(box, { minLength: 1, maxLength: 6 }),
        (a, b) => {
          const left = a.map(boxOf);
          const right = b.map(boxOf);
          const d = distanceBetween(left, right, 3, 0);
          if (d === Number.NEGATIVE_INFINITY) return;
          const at = (dx: number) => right.map((r) => ({ ...r, x0: r.x0 + dx, x1: r.x1 + dx }));
          const touches = (dx: number) => left.some((l) => at(dx).some((r) => overlaps(l, r)));
          expect(touches(d)).toBe(false);
          expect(touches(d - 3.5)).toBe(true);
        },
      ),
      SEED,
    );
  });

  it('lead an arc past what stands between its ends', () => {
    const limits = { least: 4, most: 20 };
    fc.assert(
      fc.property(
        fc.array(box, { maxLength: 5 }),
        fc.constantFrom(-1 as const, 1 as const),
        (list, side) => {
          // Nothing stands at the very ends, where the notes are.
          const inWay = list.map(boxOf).filter((b) => b.x0 > 12 && b.x1 < 188);
          const plan = planArc({ x: 0, y: 0 }, { x: 200, y: 6 }, side, inWay, limits);
          const pen = new Pen().sign('slur');
          const y = side * plan.shift;
          pen.arc(0, y, 200, 6 + y, side * plan.height, plan.thick);
          expect(pen.ink.some((k) => inWay.some((b) => overlaps(k, b)))).toBe(false);
        },
      ),
      SEED,
    );
  });
});
