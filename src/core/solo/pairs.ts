import { logShares } from '../joins/share';
import { type Bars, type Chain, type Choices, weighed } from './chain';
import type { WayTask } from './way-task';

/** Pairs of stretches in a row as things of their own; of a first one alone, too. */
export interface Pairs {
  readonly chain: Chain;
  /** The second stretch of each pair. */
  readonly last: readonly number[];
}

/**
 * Makes chains of pairs for ways whose joins look at two before.
 * @param singles The chain of the stretches themselves.
 * @param barsOf How often choices at a bar count.
 * @returns From which stretches are looked at to their chain; null where joins look at one only.
 */
export function pairsOf(
  task: WayTask,
  singles: Chain,
  barsOf: (at: number, next: readonly number[]) => Bars,
): ((kept: readonly boolean[]) => Pairs) | null {
  const { stretches, scoreAfterTwo, rest, restAfterTwo = rest } = task;
  if (scoreAfterTwo === undefined) return null;
  const size = stretches.length;
  const known = new Map<number, Float64Array>();
  /** Shares of all that could follow a pair, whether it is looked at or not. */
  const sharesAfter = (earlier: number, before: number): Float64Array => {
    let shares = known.get(earlier * size + before);
    if (shares === undefined) {
      const of = scoreAfterTwo(earlier, before);
      const { next } = singles.after(before);
      const scores = new Float64Array(next.length);
      for (let k = 0; k < scores.length; k++)
        scores[k] = next[k]! < 0 ? restAfterTwo : of(next[k]!);
      shares = logShares(scores);
      known.set(earlier * size + before, shares);
    }
    return shares;
  };
  return (kept) => {
    const first: (number | null)[] = [];
    const last: number[] = [];
    /** Numbers of the pairs by their first stretch (`size` for none) and their last. */
    const numbers = new Map<number, number>();
    const add = (earlier: number | null) => {
      for (const i of singles.after(earlier).next) {
        if (i < 0 || !kept[i]) continue;
        numbers.set((earlier ?? size) * size + i, last.length);
        first.push(earlier);
        last.push(i);
      }
    };
    add(null);
    for (const i of singles.order) if (kept[i]) add(i);
    /** What is kept of what follows a stretch, the same whatever came before: its places, and its pairs. */
    const keptAfter = onDemand((before: number | null) => {
      const { next } = singles.after(before);
      const at = [...next.keys()].filter((k) => next[k]! < 0 || kept[next[k]!]);
      const number = (i: number) => (i < 0 ? i : numbers.get((before ?? size) * size + i)!);
      const bars = barsOf(
        before === null ? 0 : stretches[before]!.end,
        at.map((k) => next[k]!),
      );
      return { at: Int32Array.from(at), pairs: at.map((k) => number(next[k]!)), bars };
    });
    const after = (pair: number | null): Choices => {
      const earlier = pair === null ? null : first[pair]!;
      const before = pair === null ? null : last[pair]!;
      const { at, pairs, bars } = keptAfter(before);
      if (earlier === null || before === null) {
        const { share, worth } = singles.after(before);
        const of = (all: Float64Array) => Float64Array.from(at, (k) => all[k]!);
        return { next: pairs, share: of(share), worth: of(worth) };
      }
      const shares = sharesAfter(earlier, before);
      return weighed(
        pairs,
        Float64Array.from(at, (k) => shares[k]!),
        bars,
      );
    };
    const order = last
      .map((_, pair) => pair)
      .sort((a, b) => stretches[last[b]!]!.start - stretches[last[a]!]!.start);
    return { last, chain: { order, after: onDemand(after) } };
  };
}

/** A function that reckons each answer once. */
function onDemand<T>(of: (key: number | null) => T): (key: number | null) => T {
  const known = new Map<number | null, T>();
  return (key) => {
    let found = known.get(key);
    if (found === undefined) {
      found = of(key);
      known.set(key, found);
    }
    return found;
  };
}
