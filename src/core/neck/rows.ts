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
 * @param toGo of `costsToGo`, with the same bias.
 */
export function* cheapestRows(
  l: Layers,
  toGo: Float64Array,
  bias: Float64Array | null,
): Generator<Row> {
  const n = l.grips.length;
  const queue = new RowQueue();
  const open = l.grips[0]!;
  const starts: Row[] = [];
  for (let g = 0; g < open.count; g++) {
    const reached = new Float64Array(open.first[g + 1]! - open.first[g]!);
    starts.push({ moment: 0, grip: g, reached, before: null, ...measure(l, toGo, 0, g, reached) });
  }
  const best = Math.min(...starts.map((r) => r.total));
  for (const r of starts) queue.push({ ...r, regret: regretOf(r.total - best) });
  for (;;) {
    const row = queue.pop();
    if (row === undefined || row.total === Number.POSITIVE_INFINITY) return;
    if (row.moment === n - 1) yield row;
    else pushNext(l, toGo, bias, row, queue);
  }
}

function measure(
  l: Layers,
  toGo: Float64Array,
  moment: number,
  grip: number,
  reached: Float64Array,
) {
  const from = l.start[moment]! + l.grips[moment]!.first[grip]!;
  let total = Number.POSITIVE_INFINITY;
  for (let s = 0; s < reached.length; s++) {
    const c = reached[s]! + toGo[from + s]!;
    if (c < total) total = c;
  }
  return { total, regret: 0 };
}

function regretOf(difference: number): number {
  return difference < ROUNDING ? 0 : difference;
}

function pushNext(
  l: Layers,
  toGo: Float64Array,
  bias: Float64Array | null,
  row: Row,
  queue: RowQueue,
): void {
  const i = row.moment;
  const a = l.grips[i]!;
  const b = l.grips[i + 1]!;
  const fit = l.fits[i]!;
  const from = a.first[row.grip]!;
  const hand = a.hand[row.grip]!;
  const left = row.reached.map((c, s) => c + a.cost[from + s]! + (bias?.[hand + s] ?? 0));
  for (let q = 0; q < b.count; q++) {
    if (fit !== null && fit.before[row.grip] !== fit.after[q]) continue;
    const cross = crossingCost(l.weights, Math.abs(a.mean[row.grip]! - b.mean[q]!));
    const reached = new Float64Array(b.first[q + 1]! - b.first[q]!);
    for (let t = 0; t < reached.length; t++) {
      let best = Number.POSITIVE_INFINITY;
      for (let s = 0; s < left.length; s++) {
        const way = Math.abs(b.hand[q]! + t - hand - s);
        const c = left[s]! + l.shift[way]! * l.factor[i + 1]!;
        if (c < best) best = c;
      }
      reached[t] = best + cross;
    }
    const { total } = measure(l, toGo, i + 1, q, reached);
    const regret = row.regret + regretOf(total - row.total);
    queue.push({ moment: i + 1, grip: q, reached, before: row, total, regret });
  }
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
