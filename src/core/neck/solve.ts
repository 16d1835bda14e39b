import type { NoteId, Place } from '../phrase/types';
import { crossingCost } from './costs';
import { costsToGo, type Layers, layersOf } from './layers';
import { FOLLOWS_HAND } from './places';
import type { Fingering, FingeringProblem } from './problem';
import { cheapestRows, type Row, rowThrough } from './rows';
import { type FingeringStyle, weightsFor } from './weights';

export interface SolveOptions {
  /** Another style than the problem's own. */
  readonly style?: FingeringStyle;
  /** How many to find, at least 1; 1 when absent. */
  readonly count?: number;
}

/**
 * The cheapest fingerings under the style's weights, cheapest first, no two with the same places;
 * each with the hand's cheapest way through them (N4). Empty where the hard rules allow none.
 * Time grows linearly with the notes for one fingering.
 * @throws RangeError when a held or linked note does not sound in the moment before (programmer's error).
 */
export function findFingerings(
  problem: FingeringProblem,
  options: SolveOptions = {},
): readonly Fingering[] {
  const layers = layersOf(problem, weightsFor(options.style ?? problem.style, problem.instrument));
  if (layers === null) return [];
  const count = options.count ?? 1;
  if (count === 1) {
    const best = cheapestFingering(problem, layers, null);
    return best === null ? [] : [best];
  }
  const found: Fingering[] = [];
  for (const f of fingeringsOf(problem, layers)) {
    found.push(f);
    if (found.length >= count) break;
  }
  return found;
}

/** All fingerings of layers made from this problem, one after the other, cheapest first. */
export function* fingeringsOf(problem: FingeringProblem, l: Layers): Generator<Fingering> {
  if (l.grips.length === 0) {
    yield { cost: 0, places: new Map(), handPositions: [] };
    return;
  }
  for (const row of cheapestRows(l, costsToGo(l, null)))
    yield fingering(problem, l, pathOf(l, row));
}

/**
 * The cheapest fingering of layers made from this problem; null where the hard rules allow none.
 * With a bias the places are those of the cheapest biased fingering, and the hand goes the cheapest
 * way through them without bias.
 * @param bias added to every state in the search, numbered from `start`; no part of the `cost`.
 */
export function cheapestFingering(
  problem: FingeringProblem,
  l: Layers,
  bias: Float64Array | null,
): Fingering | null {
  const path = cheapestPath(l, costsToGo(l, bias));
  if (path === null) return null;
  if (bias !== null && l.grips.length > 0) pathOf(l, rowThrough(l, path.grips), path);
  return fingering(problem, l, path);
}

/** A grip and an index-finger fret for each moment. */
interface Path {
  readonly grips: Int32Array;
  readonly hands: Int32Array;
}

function emptyPath(l: Layers): Path {
  const n = l.grips.length;
  return { grips: new Int32Array(n), hands: new Int32Array(n) };
}

/** Follows the costs to go from the cheapest first state; null where no way leads through. */
function cheapestPath(l: Layers, toGo: Float64Array): Path | null {
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
  let best = Number.POSITIVE_INFINITY;
  for (let k = first[group[p]!]!; k < first[group[p]! + 1]!; k++) {
    const q = order[k]!;
    const cross = crossingCost(l.weights, Math.abs(mean - g.mean[q]!));
    for (let s = g.first[q]!, h = g.hand[q]!; s < g.first[q + 1]!; s++, h++) {
      const way = l.shift[Math.abs(h - path.hands[i - 1]!)]!;
      const c = cross + way * l.factor[i]! + toGo[l.start[i]! + s]!;
      if (c >= best) continue;
      best = c;
      path.grips[i] = q;
      path.hands[i] = h;
    }
  }
  return best < Number.POSITIVE_INFINITY;
}

/** The hand's cheapest way through a complete row, traced from its end. */
function pathOf(l: Layers, end: Row, path = emptyPath(l)): Path {
  const n = l.grips.length;
  for (let row: Row | null = end; row !== null; row = row.before) {
    const i = row.moment;
    const g = l.grips[i]!;
    let best = Number.POSITIVE_INFINITY;
    for (let s = 0; s < row.reached.length; s++) {
      const h = g.hand[row.grip]! + s;
      const state = g.first[row.grip]! + s;
      const on =
        i === n - 1
          ? l.leave[state]!
          : l.shift[Math.abs(path.hands[i + 1]! - h)]! * l.factor[i + 1]!;
      const c = row.reached[s]! + g.cost[state]! + on;
      if (c >= best) continue;
      best = c;
      path.grips[i] = row.grip;
      path.hands[i] = h;
    }
  }
  return path;
}

function fingering(problem: FingeringProblem, l: Layers, path: Path): Fingering {
  const places = new Map<NoteId, Place>();
  let cost = 0;
  problem.moments.forEach((m, i) => {
    const g = l.grips[i]!;
    const q = path.grips[i]!;
    const hand = path.hands[i]!;
    const state = g.first[q]! + hand - g.hand[q]!;
    cost += g.cost[state]!;
    if (i === 0) cost += l.enter[state]!;
    if (i === l.grips.length - 1) cost += l.leave[state]!;
    if (i > 0) {
      const before = l.grips[i - 1]!.mean[path.grips[i - 1]!]!;
      cost += crossingCost(l.weights, Math.abs(before - g.mean[q]!));
      cost += l.shift[Math.abs(hand - path.hands[i - 1]!)]! * l.factor[i]!;
    }
    m.struck.forEach((number, k) => {
      const at = q * g.width + k;
      const fret = g.frets[at]! === FOLLOWS_HAND ? hand : g.frets[at]!;
      places.set(problem.notes[number]!.id, { string: g.strings[at]!, fret });
    });
  });
  return { cost, places, handPositions: Array.from(path.hands) };
}
