import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { meeting } from '../../../src/sound/strings/meeting';

/** How far two movements of one period are from agreeing, in samples, when one is pushed so. */
function apart(until: number, period: number, sign: number, wait: number): number {
  const late = wait - until + (sign === 1 ? 0 : period / 2);
  const turns = late / period;
  return Math.abs(turns - Math.round(turns)) * period;
}

describe('a push to a string that moves already', () => {
  it('agrees with it as well as any push that waits no longer than it may', () => {
    const period = fc.double({ min: 30, max: 1_200, noNaN: true });
    const share = fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true });
    fc.assert(
      fc.property(period, share, fc.integer({ min: 0, max: 150 }), (p, s, longest) => {
        const { sign, wait } = meeting(s * p, p, longest);
        expect(wait).toBeGreaterThanOrEqual(0);
        expect(wait).toBeLessThanOrEqual(longest);
        let best = Number.POSITIVE_INFINITY;
        for (const way of [1, -1]) {
          for (let w = 0; w <= longest; w++) best = Math.min(best, apart(s * p, p, way, w));
        }
        expect(apart(s * p, p, sign, wait)).toBeLessThanOrEqual(best + 1);
      }),
      { numRuns: 300 },
    );
  });
});
