import type { NoteId, Place } from '../phrase/types';
import { crossingCost } from './costs';
import type { Layers } from './layers';
import { FOLLOWS_HAND } from './places';
import type { Fingering, FingeringProblem } from './problem';
import type { Row } from './rows';

/**
 * A grip and an index-finger fret for each moment: a fingering as the search has it. Plain arrays,
 * since thousands of short ones are made, and a buffer each costs more than what it holds.
 */
export interface Path {
  readonly grips: number[];
  readonly hands: number[];
}

/** A way through the layers in which nothing is chosen yet: the first grip and hand of each. */
export function emptyPath(l: Layers): Path {
  const n = l.grips.length;
  return { grips: new Array<number>(n).fill(0), hands: new Array<number>(n).fill(0) };
}

/** Follows the costs to go from the cheapest first state; null where no way leads through. */
export function cheapestPath(l: Layers, toGo: Float64Array): Path | null {
  const path = emptyPath(l);
  for (let i = 0; i < l.grips.length; i++) {
    if (!(i === 0 ? chooseFirst(l, toGo, path) : chooseNext(l, toGo, path, i))) return null;
  }
  return path;
}

function chooseFirst(l: Layers, toGo: Float64Array, path: Path): boolean {
  const g = l.grips[0]!;
  let best = Number.POSITIVE_INFINITY;
  for (let q = 0; q < g.count; q++) {
    for (let s = g.first[q]!, h = g.hand[q]!; s < g.first[q + 1]!; s++, h++) {
      const c = l.enter[s]! + toGo[s]!;
      if (c >= best) continue;
      best = c;
      path.grips[0] = q;
      path.hands[0] = h;
    }
  }
  return best < Number.POSITIVE_INFINITY;
}

function chooseNext(l: Layers, toGo: Float64Array, path: Path, i: number): boolean {
  const g = l.grips[i]!;
  const p = path.grips[i - 1]!;
  const mean = l.grips[i - 1]!.mean[p]!;
  const { group, first, order } = l.fits[i - 1]!;
  const way = l.way[i]!;
  const start = l.start[i]!;
  const still = l.widest - path.hands[i - 1]!;
  let best = Number.POSITIVE_INFINITY;
  for (let k = first[group[p]!]!; k < first[group[p]! + 1]!; k++) {
    const q = order[k]!;
    const cross = crossingCost(l.weights, Math.abs(mean - g.mean[q]!));
    for (let s = g.first[q]!, h = g.hand[q]!; s < g.first[q + 1]!; s++, h++) {
      const c = cross + way[still + h]! + toGo[start + s]!;
      if (c >= best) continue;
      best = c;
      path.grips[i] = q;
      path.hands[i] = h;
    }
  }
  return best < Number.POSITIVE_INFINITY;
}

/** The hand's cheapest way through a complete row, traced from its end. */
export function pathOf(l: Layers, end: Row): Path {
  const path = emptyPath(l);
  for (let row: Row | null = end; row !== null; row = row.before)
    traceBack(l, path, row.moment, row.grip, row.reached, 0);
  return path;
}

/**
 * Sets the hand's cheapest way through the grips a path has.
 * @param room a number for each state, to work in.
 */
export function sendHand(l: Layers, path: Path, room: Float64Array): void {
  const { grips } = path;
  const n = grips.length;
  for (let s = 0; s < l.enter.length; s++) room[s] = l.enter[s]!;
  for (let i = 1; i < n; i++) {
    const a = l.grips[i - 1]!;
    const b = l.grips[i]!;
    const way = l.way[i]!;
    const p = grips[i - 1]!;
    const q = grips[i]!;
    const cross = crossingCost(l.weights, Math.abs(a.mean[p]! - b.mean[q]!));
    const before = l.start[i - 1]!;
    const from = a.first[p]!;
    const end = a.first[p + 1]!;
    const start = l.start[i]! + b.first[q]!;
    const states = b.first[q + 1]! - b.first[q]!;
    const apart = l.widest + b.hand[q]! - a.hand[p]!;
    for (let t = 0; t < states; t++) {
      let best = Number.POSITIVE_INFINITY;
      for (let s = from, d = apart + t; s < end; s++, d--) {
        const c = room[before + s]! + a.cost[s]! + way[d]!;
        if (c < best) best = c;
      }
      room[start + t] = best + cross;
    }
  }
  for (let i = n - 1; i >= 0; i--)
    traceBack(l, path, i, grips[i]!, room, l.start[i]! + l.grips[i]!.first[grips[i]!]!);
}

/** Chooses the index-finger fret of moment i, given that of the next; `reached[at]` is the grip's first state. */
function traceBack(
  l: Layers,
  path: Path,
  i: number,
  grip: number,
  reached: Float64Array,
  at: number,
): void {
  const g = l.grips[i]!;
  const from = g.first[grip]!;
  const states = g.first[grip + 1]! - from;
  const way = i + 1 < l.grips.length ? l.way[i + 1]! : null;
  const to = way === null ? 0 : l.widest + path.hands[i + 1]! - g.hand[grip]!;
  let best = Number.POSITIVE_INFINITY;
  for (let s = 0; s < states; s++) {
    const on = way === null ? l.leave[from + s]! : way[to - s]!;
    const c = reached[at + s]! + g.cost[from + s]! + on;
    if (c >= best) continue;
    best = c;
    path.grips[i] = grip;
    path.hands[i] = g.hand[grip]! + s;
  }
}

/** What a path costs, the way in and out included. */
export function costOfPath(l: Layers, path: Path): number {
  const last = l.grips.length - 1;
  let cost = 0;
  for (let i = 0; i <= last; i++) {
    const g = l.grips[i]!;
    const q = path.grips[i]!;
    const hand = path.hands[i]!;
    const state = g.first[q]! + hand - g.hand[q]!;
    cost += g.cost[state]!;
    if (i === 0) cost += l.enter[state]!;
    if (i === last) cost += l.leave[state]!;
    if (i === 0) continue;
    const before = l.grips[i - 1]!.mean[path.grips[i - 1]!]!;
    cost += crossingCost(l.weights, Math.abs(before - g.mean[q]!));
    cost += l.way[i]![l.widest + hand - path.hands[i - 1]!]!;
  }
  return cost;
}

/** A path as a fingering: a place for every note. */
export function fingeringOf(problem: FingeringProblem, l: Layers, path: Path): Fingering {
  const places = new Map<NoteId, Place>();
  problem.moments.forEach((m, i) => {
    const g = l.grips[i]!;
    const q = path.grips[i]!;
    m.struck.forEach((number, k) => {
      const at = q * g.width + k;
      const fret = g.frets[at]! === FOLLOWS_HAND ? path.hands[i]! : g.frets[at]!;
      places.set(problem.notes[number]!.id, { string: g.strings[at]!, fret });
    });
  });
  return { cost: costOfPath(l, path), places, handPositions: path.hands };
}
