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

/** A row that waits: what it costs to come so far is worked out again only if its turn comes. */
type Waiting = Omit<Row, 'reached'>;

/**
 * The complete rows in order of their cheapest fingering: best-first search, exact because the cost
 * to go is. Different rows are different in at least one place.
 * @param toGo of `costsToGo` without bias.
 */
export function* cheapestRows(l: Layers, toGo: Float64Array): Generator<Row> {
  const n = l.grips.length;
  const queue = new RowQueue();
  const starts = Array.from({ length: l.grips[0]!.count }, (_, grip): Waiting => {
    const reached = startOf(l, grip);
    const total = totalOf(l, toGo, 0, grip, reached);
    return { moment: 0, grip, before: null, total, regret: 0 };
  });
  const best = Math.min(...starts.map((r) => r.total));
  for (const r of starts) queue.push({ ...r, regret: regretOf(r.total - best) });
  const room = new Float64Array(widestOf(l));
  let next: Waiting | undefined = queue.pop();
  while (next !== undefined && next.total < Number.POSITIVE_INFINITY) {
    const row = reachedBy(l, next);
    if (row.moment === n - 1) {
      yield row;
      next = queue.pop();
    } else next = pushNext(l, toGo, row, queue, room) ?? queue.pop();
  }
}

/** Most index-finger frets of one grip. */
function widestOf(l: Layers): number {
  let most = 0;
  for (const g of l.grips)
    for (let q = 0; q < g.count; q++) most = Math.max(most, g.first[q + 1]! - g.first[q]!);
  return most;
}

/** The row with what it costs to come so far. */
function reachedBy(l: Layers, row: Waiting): Row {
  const { moment, grip, before, total, regret } = row;
  const { first } = l.grips[moment]!;
  if (before === null) return { moment, grip, reached: startOf(l, grip), before, total, regret };
  const reached = new Float64Array(first[grip + 1]! - first[grip]!);
  reachNext(l, before, grip, reached);
  return { moment, grip, reached, before, total, regret };
}

function startOf(l: Layers, grip: number): Float64Array {
  const { first } = l.grips[0]!;
  return l.enter.slice(first[grip]!, first[grip + 1]!);
}

/** Cost of the cheapest fingering that goes on from a grip so reached; `reached` may be longer than needed. */
function totalOf(
  l: Layers,
  toGo: Float64Array,
  moment: number,
  grip: number,
  reached: Float64Array,
): number {
  const { first } = l.grips[moment]!;
  const from = l.start[moment]! + first[grip]!;
  const states = first[grip + 1]! - first[grip]!;
  let total = Number.POSITIVE_INFINITY;
  for (let s = 0; s < states; s++) {
    const c = reached[s]! + toGo[from + s]!;
    if (c < total) total = c;
  }
  return total;
}

function regretOf(difference: number): number {
  return difference < ROUNDING ? 0 : difference;
}

/** Puts the cost of everything before grip q of the next moment, by its index-finger frets, into `out`. */
function reachNext(
  l: Layers,
  row: Pick<Row, 'moment' | 'grip' | 'reached'>,
  q: number,
  out: Float64Array,
): void {
  const a = l.grips[row.moment]!;
  const b = l.grips[row.moment + 1]!;
  const way = l.way[row.moment + 1]!;
  const cross = crossingCost(l.weights, Math.abs(a.mean[row.grip]! - b.mean[q]!));
  const { reached } = row;
  const from = a.first[row.grip]!;
  const states = b.first[q + 1]! - b.first[q]!;
  const apart = l.widest + b.hand[q]! - a.hand[row.grip]!;
  for (let t = 0; t < states; t++) {
    let best = Number.POSITIVE_INFINITY;
    for (let s = 0; s < reached.length; s++) {
      const c = reached[s]! + a.cost[from + s]! + way[apart + t - s]!;
      if (c < best) best = c;
    }
    out[t] = best + cross;
  }
}

/**
 * Puts the rows that go on from this one among those that wait, but for the first one without regret,
 * which is next in any case: it is as good as any that waits, and farther on.
 * @param room Long enough for any grip, to work in.
 */
function pushNext(
  l: Layers,
  toGo: Float64Array,
  row: Row,
  queue: RowQueue,
  room: Float64Array,
): Waiting | undefined {
  const moment = row.moment + 1;
  const { group, first, order } = l.fits[row.moment]!;
  const end = first[group[row.grip]! + 1]!;
  let straight: Waiting | undefined;
  for (let k = first[group[row.grip]!]!; k < end; k++) {
    const grip = order[k]!;
    reachNext(l, row, grip, room);
    const total = totalOf(l, toGo, moment, grip, room);
    const more = regretOf(total - row.total);
    const waiting: Waiting = { moment, grip, before: row, total, regret: row.regret + more };
    if (more === 0 && straight === undefined) straight = waiting;
    else queue.push(waiting);
  }
  return straight;
}

/** A binary heap: least regret first, among equals the row farthest on, then the one pushed first. */
class RowQueue {
  private readonly heap: { readonly row: Waiting; readonly order: number }[] = [];
  private pushed = 0;

  push(row: Waiting): void {
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

  pop(): Waiting | undefined {
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
