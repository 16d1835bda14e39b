import { join } from './join';
import { logShares } from './share';
import type { Sketch } from './sketch';

/** So many candidates of a slot are looked at with the phrase before the one before: the joins grow with their cube. */
const LOOKED_AT = 24;

/**
 * One candidate for each slot in a row, between two phrases that stand: the best of all ways, by the sum
 * of the shares (`logShares`) of joins that look at two phrases before. Of slots with more than
 * `LOOKED_AT` candidates those remain whose best way is best where only the phrase before is looked at.
 * @param slots Candidates of each slot; one slot and one candidate each at least.
 * @param after The phrase that follows the last slot, or null.
 * @returns The index chosen in each slot.
 */
export function fillSlots(
  before: Sketch,
  slots: readonly (readonly Sketch[])[],
  after: Sketch | null = null,
): readonly number[] {
  const kept = likely(before, slots, after);
  const rows = kept.map((indices, i) => indices.map((k) => slots[i]![k]!));
  return bestWay(before, rows, slots, kept, after).map((k, i) => kept[i]![k]!);
}

/** Two phrases in a row, as rows of what they lead to: the worth of the best way, and its first step. */
interface Ahead {
  readonly worth: number;
  readonly next: number;
}

function bestWay(
  before: Sketch,
  rows: readonly (readonly Sketch[])[],
  slots: readonly (readonly Sketch[])[],
  kept: readonly (readonly number[])[],
  after: Sketch | null,
): readonly number[] {
  /** Of each slot, by the candidate before it and its own. */
  const ahead: Ahead[][][] = [];
  for (let i = rows.length - 1; i >= 0; i--) {
    const earlier = i === 0 ? [before] : rows[i - 1]!;
    const next = rows[i + 1];
    const then = ahead[0];
    ahead.unshift(
      earlier.map((a) =>
        rows[i]!.map((b, k) => {
          if (next === undefined || then === undefined) {
            return { worth: after === null ? 0 : join(b, after, 0, a), next: -1 };
          }
          const shares = logShares(slots[i + 1]!.map((c) => join(b, c, 0, a)));
          return most(next.map((_, j) => shares[kept[i + 1]![j]!]! + then[k]![j]!.worth));
        }),
      ),
    );
  }
  const first = logShares(slots[0]!.map((b) => join(before, b)));
  const way = [most(rows[0]!.map((_, k) => first[kept[0]![k]!]! + ahead[0]![0]![k]!.worth)).next];
  for (let from = 0; way.length < rows.length; ) {
    const at = way.at(-1)!;
    way.push(ahead[way.length - 1]![from]![at]!.next);
    from = at;
  }
  return way;
}

function most(worths: readonly number[]): Ahead {
  const worth = Math.max(...worths);
  return { worth, next: worths.indexOf(worth) };
}

/** The candidates that are looked at, in their order. */
function likely(
  before: Sketch,
  slots: readonly (readonly Sketch[])[],
  after: Sketch | null,
): readonly (readonly number[])[] {
  if (slots.every((s) => s.length <= LOOKED_AT)) return slots.map((s) => [...s.keys()]);
  const to = (rows: readonly Sketch[], next: readonly Sketch[]) =>
    rows.map((a) => logShares(next.map((b) => join(a, b))));
  const steps = slots.slice(1).map((next, i) => to(slots[i]!, next));
  const behind: number[][] = [Array.from(to([before], slots[0]!)[0]!)];
  for (const [i, step] of steps.entries()) {
    behind.push(
      slots[i + 1]!.map((_, j) => Math.max(...step.map((s, k) => behind[i]![k]! + s[j]!))),
    );
  }
  let ahead = slots.at(-1)!.map((a) => (after === null ? 0 : join(a, after)));
  const kept: (readonly number[])[] = [];
  for (let i = slots.length - 1; i >= 0; i--) {
    const worth = ahead.map((w, k) => w + behind[i]![k]!);
    const best = [...worth.keys()].sort((j, k) => worth[k]! - worth[j]!).slice(0, LOOKED_AT);
    kept.unshift(best.sort((j, k) => j - k));
    const next = ahead;
    ahead = (steps[i - 1] ?? []).map((s) => Math.max(...next.map((w, j) => s[j]! + w)));
  }
  return kept;
}
