import { crossingCost, hurryFactor, isSlidInto, neighbourCost, shiftCost } from './costs';
import { type Grips, gripsFor } from './grips';
import { type Fit, fitOf, linksCanBeMet, type Tie, tiesBetween } from './join';
import type { FingeringProblem, FingerNote, Moment, Neighbour } from './problem';
import type { Weights } from './weights';

/** The layers of the search: the grips of every moment and how neighbours join. */
export interface Layers {
  readonly grips: readonly Grips[];
  /** Between moment i and i + 1. */
  readonly fits: readonly Fit[];
  /** Cost of a change of position into moment i by −widest … widest frets, at 0 … 2 · widest. */
  readonly way: readonly Float64Array[];
  /** Highest index-finger fret of all moments, so the widest change there is. */
  readonly widest: number;
  readonly weights: Weights;
  /** What each state of the first moment costs to come into, of the last to leave from. */
  readonly enter: Float64Array;
  readonly leave: Float64Array;
  /** Where the states of moment i begin among all states. */
  readonly start: Int32Array;
}

/** Null where some moment has no grip or a hammer-on, pull-off or slide cannot be met. */
export function layersOf(problem: FingeringProblem, weights: Weights): Layers | null {
  if (!linksCanBeMet(problem)) return null;
  const n = problem.moments.length;
  const known = new Map<string | number, Grips>();
  const knownFits = new Map<string, Fit>();
  const knownWays = new Map<number, Float64Array>();
  const grips: Grips[] = [];
  const fits: Fit[] = [];
  const factor: number[] = [];
  const start = new Int32Array(n + 1);
  let widest = 1;
  let lastKey: string | number = '';
  for (let i = 0; i < n; i++) {
    const m = problem.moments[i]!;
    const key = momentKey(problem, m);
    const g = recall(known, key, () => gripsFor(problem, m, weights));
    if (g.count === 0) return null;
    if (i > 0) {
      const before = grips[i - 1]!;
      const ties = tiesBetween(problem, i - 1);
      // Without ties the numbers of grips are all that counts.
      const pair =
        ties.length === 0 ? `${before.count},${g.count}` : `${lastKey} ${key} ${textOf(ties)}`;
      fits.push(recall(knownFits, pair, () => fitOf(before, g, ties)));
    }
    lastKey = key;
    grips.push(g);
    factor.push(
      hurryFactor(weights, m.seconds) * (isSlidInto(problem, m) ? weights.slideShift : 1),
    );
    start[i + 1] = start[i]! + g.cost.length;
    if (g.highest > widest) widest = g.highest;
  }
  const way = factor.map((f) => recall(knownWays, f, () => waysOf(weights, widest, f)));
  const enter = joinOf(weights, grips[0], problem.before);
  const leave = joinOf(weights, grips[n - 1], problem.after);
  return { grips, fits, way, widest, weights, enter, leave, start };
}

function waysOf(w: Weights, widest: number, factor: number): Float64Array {
  return Float64Array.from(
    { length: 2 * widest + 1 },
    (_, i) => shiftCost(w, Math.abs(i - widest)) * factor,
  );
}

/** What joins each state of a moment to a hand outside the problem. */
function joinOf(w: Weights, g: Grips | undefined, side: Neighbour | undefined): Float64Array {
  const join = new Float64Array(g?.cost.length ?? 0);
  if (g === undefined || side === undefined) return join;
  for (let q = 0; q < g.count; q++)
    for (let s = g.first[q]!, hand = g.hand[q]!; s < g.first[q + 1]!; s++, hand++) {
      const { shift, crossing } = neighbourCost(w, side, hand, g.mean[q]!);
      join[s] = shift + crossing;
    }
  return join;
}

function recall<K, V>(known: Map<K, V>, key: K, make: () => V): V {
  const old = known.get(key);
  if (old !== undefined) return old;
  const made = make();
  known.set(key, made);
  return made;
}

function textOf(ties: readonly Tie[]): string {
  return ties.map((t) => `${t.from}${t.stringOnly ? '~' : '='}${t.to}`).join();
}

/** Equal for moments that have the same grips: a number for one plain note, else text. */
function momentKey(problem: FingeringProblem, m: Moment): string | number {
  if (m.struck.length === 1 && m.held.length === 0 && m.ringing.length === 0)
    return noteKey(problem.notes[m.struck[0]!]!);
  const keys = (list: readonly number[]) => list.map((i) => noteKey(problem.notes[i]!)).join();
  return `${keys(m.struck)}|${keys(m.held)}|${keys(m.ringing)}`;
}

/** What says nothing about where a note can lie: who it is, its sound, and what it hangs on. */
const PLACELESS: ReadonlySet<string> = new Set<keyof FingerNote>(['id', 'kind', 'midi', 'link']);

function noteKey(n: FingerNote): string | number {
  let plain = n.kind === 'stopped';
  for (const field in n) {
    plain &&= PLACELESS.has(field) || n[field as keyof FingerNote] === undefined;
  }
  return plain ? n.midi : JSON.stringify({ ...n, id: '', link: null });
}

/** What one search of the layers works in; the next search may use it again. */
export interface Room {
  /** A number for each state, by `start`. */
  readonly toGo: Float64Array;
  readonly enter: Float64Array;
}

/** Room for searches of these layers, as large as the widest of them needs. */
export function roomFor(l: Layers): Room {
  let most = 0;
  for (const g of l.grips) most = Math.max(most, g.count * (l.widest + 2));
  return {
    toGo: new Float64Array(l.start[l.grips.length]!),
    enter: new Float64Array(most),
  };
}

/**
 * Cheapest cost from each state to the end, its own included, the way in not; infinite where no way leads on.
 * Exact, since every cost belongs to one state or to two neighbours (N4).
 * @param bias added to every state, numbered from `start`; null for none.
 * @returns the room's `toGo`.
 */
export function costsToGo(
  l: Layers,
  bias: Float64Array | null,
  room: Room = roomFor(l),
): Float64Array {
  const last = l.grips.length - 1;
  const { toGo, enter } = room;
  if (last < 0) return toGo;
  toGo.fill(0, l.start[last]!);
  addOwn(l, last, toGo, bias);
  for (let s = 0; s < l.leave.length; s++) toGo[l.start[last]! + s]! += l.leave[s]!;
  for (let i = last - 1; i >= 0; i--) {
    fillEnter(l, i + 1, toGo, enter, l.grips[i]!);
    stepBack(l, i, toGo, enter);
    addOwn(l, i, toGo, bias);
  }
  return toGo;
}

function addOwn(l: Layers, i: number, toGo: Float64Array, bias: Float64Array | null): void {
  const { cost } = l.grips[i]!;
  const start = l.start[i]!;
  for (let s = 0; s < cost.length; s++) toGo[start + s]! += cost[s]!;
  if (bias === null) return;
  for (let s = start; s < start + cost.length; s++) toGo[s]! += bias[s]!;
}

/** Cheapest way on from each index-finger fret of the moment before into each grip of moment i. */
function fillEnter(
  l: Layers,
  i: number,
  toGo: Float64Array,
  enter: Float64Array,
  before: Grips,
): void {
  const { first, hand, count } = l.grips[i]!;
  const way = l.way[i]!;
  const start = l.start[i]!;
  const { lowest, highest } = before;
  let out = 0;
  for (let q = 0; q < count; q++) {
    const from = start + first[q]!;
    const end = start + first[q + 1]!;
    // The change from the lowest fret to the grip's first one; one less for each fret further up.
    let at = l.widest + hand[q]! - lowest;
    for (let h = lowest; h <= highest; h++, at--) {
      let best = Number.POSITIVE_INFINITY;
      for (let s = from, d = at; s < end; s++, d++) {
        const c = way[d]! + toGo[s]!;
        if (c < best) best = c;
      }
      enter[out++] = best;
    }
  }
}

/** Sets `toGo` of moment i to the cheapest way on, without what its states cost themselves. */
function stepBack(l: Layers, i: number, toGo: Float64Array, enter: Float64Array): void {
  const a = l.grips[i]!;
  const b = l.grips[i + 1]!;
  const { group, first, order } = l.fits[i]!;
  const width = a.highest - a.lowest + 1;
  for (let p = 0; p < a.count; p++) {
    const from = l.start[i]! + a.first[p]!;
    const states = a.first[p + 1]! - a.first[p]!;
    const offset = a.hand[p]! - a.lowest;
    for (let s = 0; s < states; s++) toGo[from + s] = Number.POSITIVE_INFINITY;
    const end = first[group[p]! + 1]!;
    for (let k = first[group[p]!]!; k < end; k++) {
      const q = order[k]!;
      const cross = crossingCost(l.weights, Math.abs(a.mean[p]! - b.mean[q]!));
      for (let s = 0; s < states; s++) {
        const c = cross + enter[q * width + offset + s]!;
        if (c < toGo[from + s]!) toGo[from + s] = c;
      }
    }
  }
}
