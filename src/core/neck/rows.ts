import { crossingCost } from './costs';
import type { Layers } from './layers';

/** A grip for each moment from the first one on. */
export interface Row {
  readonly moment: number;
  readonly grip: number;
  /** Cost of everything before this grip, by its index-finger frets. */
  readonly reached: Float64Array;
  readonly before: Row | null;
  /** Cost of the cheapest fingering the row can become. */
  readonly total: number;
  /** How much dearer that is than the cheapest of all; exactly 0 along the cheapest row. */
  readonly regret: number;
}

/** Differences below this are rounding. */
const ROUNDING = 1e-9;

/**
 * The complete rows in order of their cheapest fingering: best-first search, exact because the cost
 * to go is. Different rows are different in at least one place.
 * @param toGo of `costsToGo` without bias.
 */
export function* cheapestRows(l: Layers, toGo: Float64Array): Generator<Row> {
  const n = l.grips.length;
  const queue = new RowQueue();
  const starts = Array.from({ length: l.grips[0]!.count }, (_, grip): Row => {
    const reached = startOf(l, grip);
    const total = totalOf(l, toGo, 0, grip, reached);
    return { moment: 0, grip, reached, before: null, total, regret: 0 };
  });
  const best = Math.min(...starts.map((r) => r.total));
  for (const r of starts) queue.push({ ...r, regret: regretOf(r.total - best) });
  for (;;) {
    const row = queue.pop();
    if (row === undefined || row.total === Number.POSITIVE_INFINITY) return;
    if (row.moment === n - 1) yield row;
    else pushNext(l, toGo, row, queue);
  }
}

function startOf(l: Layers, grip: number): Float64Array {
  const { first } = l.grips[0]!;
  return l.enter.slice(first[grip]!, first[grip + 1]!);
}

/** Cost of the cheapest fingering that goes on from a grip so reached. */
function totalOf(
  l: Layers,
  toGo: Float64Array,
  moment: number,
  grip: number,
  reached: Float64Array,
): number {
  const from = l.start[moment]! + l.grips[moment]!.first[grip]!;
  let total = Number.POSITIVE_INFINITY;
  for (let s = 0; s < reached.length; s++) {
    const c = reached[s]! + toGo[from + s]!;
    if (c < total) total = c;
  }
  return total;
}

function regretOf(difference: number): number {
  return difference < ROUNDING ? 0 : difference;
}

/** Cost of everything before grip q of the next moment, by its index-finger frets. */
function reachedNext(l: Layers, row: Pick<Row, 'moment' | 'grip' | 'reached'>, q: number) {
  const a = l.grips[row.moment]!;
  const b = l.grips[row.moment + 1]!;
  const factor = l.factor[row.moment + 1]!;
  const cross = crossingCost(l.weights, Math.abs(a.mean[row.grip]! - b.mean[q]!));
  const from = a.first[row.grip]!;
  const reached = new Float64Array(b.first[q + 1]! - b.first[q]!);
  for (let t = 0; t < reached.length; t++) {
    let best = Number.POSITIVE_INFINITY;
    for (let s = 0; s < row.reached.length; s++) {
      const way = Math.abs(b.hand[q]! + t - a.hand[row.grip]! - s);
      const c = row.reached[s]! + a.cost[from + s]! + l.shift[way]! * factor;
      if (c < best) best = c;
    }
    reached[t] = best + cross;
  }
  return reached;
}

function pushNext(l: Layers, toGo: Float64Array, row: Row, queue: RowQueue): void {
  const moment = row.moment + 1;
  const { group, first, order } = l.fits[row.moment]!;
  const end = first[group[row.grip]! + 1]!;
  for (let k = first[group[row.grip]!]!; k < end; k++) {
    const grip = order[k]!;
    const reached = reachedNext(l, row, grip);
    const total = totalOf(l, toGo, moment, grip, reached);
    const regret = row.regret + regretOf(total - row.total);
    queue.push({ moment, grip, reached, before: row, total, regret });
  }
}

/** The complete row of the given grips, one for each moment; totals and regrets are not worked out. */
export function rowThrough(l: Layers, grips: ArrayLike<number>): Row {
  const none = { total: 0, regret: 0 };
  let row: Row = {
    moment: 0,
    grip: grips[0]!,
    reached: startOf(l, grips[0]!),
    before: null,
    ...none,
  };
  for (let moment = 1; moment < grips.length; moment++) {
    const grip = grips[moment]!;
    row = { moment, grip, reached: reachedNext(l, row, grip), before: row, ...none };
  }
  return row;
}

/** A binary heap: least regret first, among equals the row farthest on, then the one pushed first. */
class RowQueue {
  private readonly heap: { readonly row: Row; readonly order: number }[] = [];
  private pushed = 0;

  push(row: Row): void {
    const heap = this.heap;
    heap.push({ row, order: this.pushed++ });
    let i = heap.length - 1;
    while (i > 0) {
      const up = (i - 1) >> 1;
      if (!this.isBefore(i, up)) break;
      this.swap(i, up);
      i = up;
    }
  }

  pop(): Row | undefined {
    const heap = this.heap;
    if (heap.length === 0) return undefined;
    this.swap(0, heap.length - 1);
    const top = heap.pop()!;
    let i = 0;
    for (;;) {
      const left = 2 * i + 1;
      let next = i;
      if (left < heap.length && this.isBefore(left, next)) next = left;
      if (left + 1 < heap.length && this.isBefore(left + 1, next)) next = left + 1;
      if (next === i) return top.row;
      this.swap(i, next);
      i = next;
    }
  }

  private isBefore(i: number, j: number): boolean {
    const a = this.heap[i]!;
    const b = this.heap[j]!;
    if (a.row.regret !== b.row.regret) return a.row.regret < b.row.regret;
    if (a.row.moment !== b.row.moment) return a.row.moment > b.row.moment;
    return a.order < b.order;
  }

  private swap(i: number, j: number): void {
    const keep = this.heap[i]!;
    this.heap[i] = this.heap[j]!;
    this.heap[j] = keep;
  }
}
