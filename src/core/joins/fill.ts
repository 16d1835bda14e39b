import { join } from './join';
import { logShares, logSum } from './share';
import type { Sketch } from './sketch';

/**
 * One candidate for each slot in a row, between two phrases that stand: the best of all ways, by the
 * sum of the shares (`logShares`). The phrase before the one before is left out: it would square the states.
 * @param slots Candidates of each slot; one slot and one candidate each at least.
 * @param after The phrase that follows the last slot, or null.
 * @param draw Numbers from 0 up to 1: draws a way in proportion to its likelihood instead of the best.
 * @returns The index chosen in each slot.
 */
export function fillSlots(
  before: Sketch,
  slots: readonly (readonly Sketch[])[],
  after: Sketch | null = null,
  draw: (() => number) | null = null,
): readonly number[] {
  const rows = slots.slice(1).map((next, i) => slots[i]!.map((a) => sharesAfter(a, next)));
  // What a choice leads to, from the last slot to the first.
  let ahead = slots.at(-1)!.map((a) => (after === null ? 0 : join(a, after)));
  const worths: number[][] = [ahead];
  for (const row of [...rows].reverse()) {
    const next = ahead;
    ahead = row.map((shares) => {
      const all = shares.map((s, j) => s + next[j]!);
      return draw === null ? Math.max(...all) : logSum(all);
    });
    worths.unshift(ahead);
  }
  const chosen: number[] = [];
  let shares = sharesAfter(before, slots[0]!);
  for (const [i, worth] of worths.entries()) {
    const all = shares.map((s, j) => s + worth[j]!);
    const pick = draw === null ? all.indexOf(Math.max(...all)) : drawn(all, draw());
    chosen.push(pick);
    shares = rows[i]?.[pick] ?? shares;
  }
  return chosen;
}

const sharesAfter = (a: Sketch, next: readonly Sketch[]) => logShares(next.map((b) => join(a, b)));

function drawn(logs: ArrayLike<number>, at: number): number {
  const all = logSum(logs);
  let left = at;
  for (let i = 0; i < logs.length; i++) {
    left -= Math.exp(logs[i]! - all);
    if (left <= 0) return i;
  }
  return logs.length - 1;
}
