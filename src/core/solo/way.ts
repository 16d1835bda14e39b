import { logShares, logSum } from '../joins/share';

/** A stretch of bars that something fills. */
export interface Stretch {
  readonly start: number;
  readonly end: number;
}

export interface WayTask {
  /** Bars of the form. */
  readonly bars: number;
  readonly stretches: readonly Stretch[];
  /** How well a stretch follows another, or begins (null); −Infinity where it cannot. */
  readonly score: (before: number | null, next: number) => number;
  /** What it counts to leave the last bar empty, on the scale of the scores. */
  readonly rest: number;
  /** Numbers from 0 up to 1, to draw a way in proportion to its likelihood; null for the best. */
  readonly draw: (() => number) | null;
}

/** Bars that may stay empty between two phrases. */
const MOST_REST = 1;

/** What can follow, with the logarithm of its share times the bars it covers; −1 is the end. */
interface Choice {
  readonly next: number;
  readonly worth: number;
}

/**
 * The best way through a form from its first bar to its last, exactly: a shortest path over all
 * stretches. Each choice counts as the logarithm of its share among all that could be chosen there,
 * times the bars that it covers, so that few long phrases are not better than many short ones only
 * because there are fewer joins.
 * @returns The places of the chosen stretches in order, or null where no way leads through.
 */
export function findWay(task: WayTask): readonly number[] | null {
  const byStart = new Map<number, number[]>();
  for (const [i, s] of task.stretches.entries()) {
    const list = byStart.get(s.start) ?? [];
    list.push(i);
    byStart.set(s.start, list);
  }
  const choices = new Map<number | null, readonly Choice[]>();
  const choicesOf = (from: number | null) => {
    const known = choices.get(from) ?? choicesAfter(task, byStart, from);
    choices.set(from, known);
    return known;
  };
  // Whatever ends last is settled first.
  const ahead = new Map<number, number>();
  const order = task.stretches.map((_, i) => i);
  order.sort((a, b) => task.stretches[b]!.start - task.stretches[a]!.start);
  const total = (c: Choice) => c.worth + (c.next < 0 ? 0 : (ahead.get(c.next) ?? -Infinity));
  for (const i of order) {
    const all = choicesOf(i).map(total);
    ahead.set(i, task.draw === null ? Math.max(-Infinity, ...all) : logSum(all));
  }
  const way: number[] = [];
  for (let at: number | null = null; ; ) {
    const list = choicesOf(at);
    const all = list.map(total);
    const pick = task.draw === null ? best(all) : drawn(all, task.draw());
    const chosen = list[pick];
    if (chosen === undefined) return null;
    if (chosen.next < 0) return way;
    way.push(chosen.next);
    at = chosen.next;
  }
}

function choicesAfter(
  task: WayTask,
  byStart: ReadonlyMap<number, readonly number[]>,
  from: number | null,
): readonly Choice[] {
  const at = from === null ? 0 : task.stretches[from]!.end;
  if (at >= task.bars) return [{ next: -1, worth: 0 }];
  const next: number[] = [];
  const scores: number[] = [];
  for (let start = at; start <= at + MOST_REST; start++) {
    for (const i of byStart.get(start) ?? []) {
      const score = task.score(from, i);
      if (score === -Infinity) continue;
      next.push(i);
      scores.push(score);
    }
  }
  if (from !== null && at + MOST_REST >= task.bars) {
    next.push(-1);
    scores.push(task.rest);
  }
  const shares = logShares(scores);
  return next.map((n, i) => {
    const end = n < 0 ? task.bars : task.stretches[n]!.end;
    return { next: n, worth: shares[i]! * (end - at) };
  });
}

function best(values: readonly number[]): number {
  let at = -1;
  for (const [i, v] of values.entries()) {
    if (v > -Infinity && (at < 0 || v > values[at]!)) at = i;
  }
  return at;
}

function drawn(logs: readonly number[], at: number): number {
  const all = logSum(logs);
  if (all === -Infinity) return -1;
  let left = at;
  for (const [i, log] of logs.entries()) {
    left -= Math.exp(log - all);
    if (left <= 0 && log > -Infinity) return i;
  }
  return best(logs);
}
