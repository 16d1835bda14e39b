import type { NoteId, Place } from '../phrase/types';
import {
  crossingCost,
  type FingeringStyle,
  hurryFactor,
  isSlidInto,
  WEIGHTS,
  type Weights,
} from './costs';
import { type Grips, gripsFor } from './grips';
import { type Fit, fitBetween, linksGoTheRightWay } from './join';
import { FOLLOWS_HAND } from './places';
import type { FingeringProblem } from './problem';

/** A place for every note and grace note, and where the hand is at every moment. */
export interface Fingering {
  /** `fingeringCost` of it, up to rounding. */
  readonly cost: number;
  /** By note id or grace key. */
  readonly places: ReadonlyMap<NoteId, Place>;
  /** Fret of the index finger at each moment of the problem, counted from the capo, from 1. */
  readonly handPositions: readonly number[];
}

export interface SolveOptions {
  readonly style: FingeringStyle;
  /** How many to find, at least 1; 1 when absent. */
  readonly count?: number;
}

/** The layers of the search: the grips of every moment and how neighbours join. */
export interface Layers {
  readonly grips: readonly Grips[];
  /** Between moment i and i + 1. */
  readonly fits: readonly (Fit | null)[];
  /** What a change of position into moment i is multiplied by. */
  readonly factor: Float64Array;
  /** Cost of a change by that many frets, before the factor. */
  readonly shift: Float64Array;
  readonly weights: Weights;
  /** Where the states of moment i begin in `toGo`. */
  readonly start: Int32Array;
  /** Cheapest cost from each state to the end, its own included. */
  readonly toGo: Float64Array;
}

/**
 * The cheapest fingerings under the style's weights, cheapest first, no two with the same places
 * (N4). Empty where the hard rules allow none. Ties are broken towards lower string numbers.
 */
export function findFingerings(
  problem: FingeringProblem,
  options: SolveOptions,
): readonly Fingering[] {
  const layers = layersOf(problem, options.style);
  if (layers === null) return [];
  return cheapest(problem, layers, options.count ?? 1);
}

/** Null where some moment has no grip or the links cannot be met. */
export function layersOf(problem: FingeringProblem, style: FingeringStyle): Layers | null {
  const weights = WEIGHTS[style];
  if (!linksGoTheRightWay(problem)) return null;
  const n = problem.moments.length;
  const grips: Grips[] = [];
  const fits: (Fit | null)[] = [];
  const factor = new Float64Array(n);
  const start = new Int32Array(n + 1);
  let widest = 1;
  for (let i = 0; i < n; i++) {
    const m = problem.moments[i]!;
    const g = gripsFor(problem, m, weights);
    if (g.count === 0) return null;
    if (i > 0) fits.push(fitBetween(problem, i - 1, grips[i - 1]!, g));
    grips.push(g);
    factor[i] = hurryFactor(weights, m.seconds) * (isSlidInto(problem, m) ? weights.slideShift : 1);
    start[i + 1] = start[i]! + g.cost.length;
    if (g.highest > widest) widest = g.highest;
  }
  const shift = new Float64Array(widest + 1);
  for (let d = 1; d <= widest; d++) shift[d] = weights.shift + weights.shiftFret * d;
  const toGo = new Float64Array(start[n]!);
  const layers = { grips, fits, factor, shift, weights, start, toGo };
  fillToGo(layers);
  return layers;
}

function fillToGo(l: Layers): void {
  const last = l.grips.length - 1;
  if (last < 0) return;
  l.toGo.set(l.grips[last]!.cost, l.start[last]!);
  for (let i = last - 1; i >= 0; i--) stepBack(l, i);
}

/** Fills `toGo` of moment i from that of the next. */
function stepBack(l: Layers, i: number): void {
  const a = l.grips[i]!;
  const b = l.grips[i + 1]!;
  const fit = l.fits[i]!;
  const lowest = a.lowest;
  const width = a.highest - lowest + 1;
  const enter = new Float64Array(b.count * width);
  for (let q = 0; q < b.count; q++) {
    for (let h = 0; h < width; h++) enter[q * width + h] = enterCost(l, i + 1, q, lowest + h);
  }
  for (let p = 0; p < a.count; p++) {
    const from = l.start[i]! + a.first[p]!;
    const states = a.first[p + 1]! - a.first[p]!;
    const offset = a.hand[p]! - lowest;
    for (let s = 0; s < states; s++) l.toGo[from + s] = Number.POSITIVE_INFINITY;
    for (let q = 0; q < b.count; q++) {
      if (fit !== null && fit.before[p] !== fit.after[q]) continue;
      const cross = crossingCost(l.weights, Math.abs(a.mean[p]! - b.mean[q]!));
      for (let s = 0; s < states; s++) {
        const c = cross + enter[q * width + offset + s]!;
        if (c < l.toGo[from + s]!) l.toGo[from + s] = c;
      }
    }
    for (let s = 0; s < states; s++) l.toGo[from + s]! += a.cost[a.first[p]! + s]!;
  }
}

/** Cheapest way on when the hand comes from fret `h` into grip q of moment i. */
function enterCost(l: Layers, i: number, q: number, h: number): number {
  const g = l.grips[i]!;
  const f = l.factor[i]!;
  let best = Number.POSITIVE_INFINITY;
  for (let s = g.first[q]!, to = g.hand[q]!; s < g.first[q + 1]!; s++, to++) {
    const c = l.shift[Math.abs(to - h)]! * f + l.toGo[l.start[i]! + s]!;
    if (c < best) best = c;
  }
  return best;
}

/** A row of grips from the first moment on, with the cheapest cost of reaching each hand position. */
interface Row {
  readonly moment: number;
  readonly grip: number;
  /** Cost of everything before the grip, by its hand positions. */
  readonly reached: Float64Array;
  readonly before: Row | null;
  /** Cost of the cheapest way through to the end, in units of 1e-9 so that ties compare equal. */
  readonly total: number;
}

/**
 * The k cheapest rows of grips by best-first search. The cost to go is exact, so a row comes up in
 * the order of the cheapest fingering it can become, and complete rows come up in order.
 */
function cheapest(problem: FingeringProblem, l: Layers, count: number): readonly Fingering[] {
  const n = l.grips.length;
  if (n === 0) return [{ cost: 0, places: new Map(), handPositions: [] }];
  const queue = new RowQueue();
  const firstGrips = l.grips[0]!;
  for (let g = 0; g < firstGrips.count; g++) {
    const reached = new Float64Array(firstGrips.first[g + 1]! - firstGrips.first[g]!);
    queue.push(rowOf(l, 0, g, reached, null));
  }
  const found: Fingering[] = [];
  while (found.length < count) {
    const row = queue.pop();
    if (row === undefined || row.total === Number.POSITIVE_INFINITY) break;
    if (row.moment === n - 1) found.push(fingeringOf(problem, l, row));
    else for (const next of nextRows(l, row)) queue.push(next);
  }
  return found;
}

function rowOf(
  l: Layers,
  moment: number,
  grip: number,
  reached: Float64Array,
  before: Row | null,
): Row {
  const from = l.start[moment]! + l.grips[moment]!.first[grip]!;
  let best = Number.POSITIVE_INFINITY;
  for (let s = 0; s < reached.length; s++) {
    const c = reached[s]! + l.toGo[from + s]!;
    if (c < best) best = c;
  }
  return { moment, grip, reached, before, total: Math.round(best * 1e9) };
}

function nextRows(l: Layers, row: Row): Row[] {
  const a = l.grips[row.moment]!;
  const b = l.grips[row.moment + 1]!;
  const fit = l.fits[row.moment]!;
  const f = l.factor[row.moment + 1]!;
  const rows: Row[] = [];
  for (let q = 0; q < b.count; q++) {
    if (fit !== null && fit.before[row.grip] !== fit.after[q]) continue;
    const cross = crossingCost(l.weights, Math.abs(a.mean[row.grip]! - b.mean[q]!));
    const reached = new Float64Array(b.first[q + 1]! - b.first[q]!);
    for (let t = 0; t < reached.length; t++) {
      let best = Number.POSITIVE_INFINITY;
      for (let s = 0; s < row.reached.length; s++) {
        const way = Math.abs(b.hand[q]! + t - a.hand[row.grip]! - s);
        const c = row.reached[s]! + a.cost[a.first[row.grip]! + s]! + l.shift[way]! * f;
        if (c < best) best = c;
      }
      reached[t] = best + cross;
    }
    rows.push(rowOf(l, row.moment + 1, q, reached, row));
  }
  return rows;
}

/** The hand's cheapest way through a complete row, traced from its end. */
function fingeringOf(problem: FingeringProblem, l: Layers, end: Row): Fingering {
  const n = l.grips.length;
  const hands = new Array<number>(n);
  const places = new Map<NoteId, Place>();
  let cost = Number.POSITIVE_INFINITY;
  let wanted = -1;
  for (let row: Row | null = end; row !== null; row = row.before) {
    const g = l.grips[row.moment]!;
    const own = (s: number) => row!.reached[s]! + g.cost[g.first[row!.grip]! + s]!;
    let best = 0;
    let bestCost = Number.POSITIVE_INFINITY;
    for (let s = 0; s < row.reached.length; s++) {
      const way =
        wanted < 0
          ? 0
          : l.shift[Math.abs(wanted - g.hand[row.grip]! - s)]! * l.factor[row.moment + 1]!;
      const c = own(s) + way;
      if (c < bestCost) {
        best = s;
        bestCost = c;
      }
    }
    if (wanted < 0) cost = bestCost;
    wanted = g.hand[row.grip]! + best;
    hands[row.moment] = wanted;
    problem.moments[row.moment]!.struck.forEach((i, k) => {
      const at = row!.grip * g.width + k;
      const fret = g.frets[at]! === FOLLOWS_HAND ? wanted : g.frets[at]!;
      places.set(problem.notes[i]!.id, { string: g.strings[at]!, fret });
    });
  }
  return { cost, places, handPositions: hands };
}

/** A binary heap: cheapest first, among equals the one farthest on, then the one pushed first. */
class RowQueue {
  private readonly rows: { readonly row: Row; readonly order: number }[] = [];
  private pushed = 0;

  push(row: Row): void {
    const heap = this.rows;
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
    const heap = this.rows;
    if (heap.length === 0) return undefined;
    this.swap(0, heap.length - 1);
    const top = heap.pop()!;
    let i = 0;
    for (;;) {
      let next = i;
      for (const child of [2 * i + 1, 2 * i + 2]) {
        if (child < heap.length && this.isBefore(child, next)) next = child;
      }
      if (next === i) break;
      this.swap(i, next);
      i = next;
    }
    return top.row;
  }

  private isBefore(i: number, j: number): boolean {
    const a = this.rows[i]!;
    const b = this.rows[j]!;
    if (a.row.total !== b.row.total) return a.row.total < b.row.total;
    if (a.row.moment !== b.row.moment) return a.row.moment > b.row.moment;
    return a.order < b.order;
  }

  private swap(i: number, j: number): void {
    const heap = this.rows;
    const keep = heap[i]!;
    heap[i] = heap[j]!;
    heap[j] = keep;
  }
}
