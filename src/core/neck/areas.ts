import type { Phrase } from '../phrase/types';
import { type Layers, layersOf } from './layers';
import { DEFAULT_LIMITS, type Limits } from './limits';
import { isFretted } from './places';
import { medianHand } from './positions';
import type { Fingering, FingeringProblem } from './problem';
import { problemOf } from './problem-of';
import { cheapestFingering, fingeringsOf } from './solve';
import { type FingeringStyle, weightsFor } from './weights';

/** A fingering with what N5 compares. */
interface Area {
  readonly fingering: Fingering;
  /** Median index-finger fret. */
  readonly hand: number;
  /** String of each note of the problem. */
  readonly strings: readonly number[];
  readonly fretted: readonly boolean[];
}

/** Median index-finger frets of different areas are at least so far apart (N5). */
const FRETS_APART = 2;

function areaOf(problem: FingeringProblem, fingering: Fingering): Area {
  const places = problem.notes.map((n) => fingering.places.get(n.id)!);
  return {
    fingering,
    hand: medianHand(problem, fingering),
    strings: places.map((p) => p.string),
    fretted: problem.notes.map((n, i) => isFretted(n, places[i]!.fret)),
  };
}

/**
 * N5: at least a quarter of the notes that `a` frets lie on another string in `b`, and the median
 * index-finger frets differ by at least two.
 */
export function areDifferentAreas(problem: FingeringProblem, a: Fingering, b: Fingering): boolean {
  return areApart(areaOf(problem, a), areaOf(problem, b));
}

function areApart(a: Area, b: Area): boolean {
  if (Math.abs(a.hand - b.hand) < FRETS_APART) return false;
  let fretted = 0;
  let moved = 0;
  a.fretted.forEach((is, i) => {
    if (!is) return;
    fretted++;
    if (a.strings[i] !== b.strings[i]) moved++;
  });
  return fretted > 0 && moved * 4 >= fretted;
}

export interface PositionOptions {
  /** At most so many. */
  readonly count: number;
  /** Another style than the phrase's own. */
  readonly style?: FingeringStyle;
  readonly limits?: Limits;
  /** What is struck first stays where it is. */
  readonly keepFirst?: boolean;
}

/**
 * The cheapest fingerings that lie in different areas of the neck, each from every other (N5),
 * cheapest first: the cheapest of all, then always the cheapest apart from those before it. That
 * holds for areas among the few hundred cheapest fingerings, which is nearly always so for short
 * phrases. Areas beyond are sought by drawing the search away from the strings and index-finger
 * frets already had, more and more firmly; what that finds is cheap, not proven the cheapest.
 * Empty where the hard rules allow none.
 */
export function findPositions(phrase: Phrase, options: PositionOptions): readonly Fingering[] {
  const { limits = DEFAULT_LIMITS, keepFirst = false } = options;
  return findAreas(problemOf(phrase, { limits, keepFirst }), options);
}

/** Most of the cheapest fingerings that are looked through one by one, and most moments in all. */
const LOOKED_THROUGH = 400;
const MOMENTS_LOOKED_THROUGH = 6_400;

/** `findPositions` for a problem, which has its own limits. */
export function findAreas(
  problem: FingeringProblem,
  options: Omit<PositionOptions, 'limits'>,
): readonly Fingering[] {
  const layers = layersOf(problem, weightsFor(options.style ?? problem.style, problem.instrument));
  if (layers === null) return [];
  const most = Math.min(LOOKED_THROUGH, MOMENTS_LOOKED_THROUGH / problem.moments.length);
  const chosen: Area[] = [];
  let looked = 0;
  for (const f of fingeringsOf(problem, layers)) {
    if (chosen.length >= options.count || ++looked > most) break;
    const area = areaOf(problem, f);
    if (chosen.every((c) => areApart(c, area))) chosen.push(area);
  }
  const all = looked <= most;
  const known: Known = new Map();
  while (chosen.length < options.count && !all && chosen.length > 0) {
    const next = nextArea(problem, layers, chosen, known);
    if (next === null) break;
    chosen.push(next);
  }
  chosen.sort((a, b) => a.fingering.cost - b.fingering.cost);
  return chosen.map((c) => c.fingering);
}

/**
 * How firmly the search is drawn away: cost of each fret outside the wished stretch at each moment,
 * and of each note on a string it already had. The first few are the most fruitful.
 */
const PULLS: readonly (readonly [fret: number, string: number])[] = [
  [1, 0],
  [0.3, 0.6],
  [3, 1.5],
  [0.1, 0.25],
  [0.3, 0],
  [1, 0.6],
  [0.1, 1.5],
  [0.3, 1.5],
  [3, 4],
  [0.1, 0.6],
  [0.1, 4],
  [1, 1.5],
  [3, 0],
];

/** States searched through for one area, after the first three pulls. */
const MOST_STATES = 1_000_000;

/** Pulls in a row that may bring nothing cheaper before a stretch of the neck is left. */
const PATIENCE = 4;

/** What was found in each stretch of the neck (`from,to`), none of it chosen yet. */
type Known = Map<string, readonly Area[]>;

/**
 * The cheapest area found that is apart from all chosen; null where none was. A stretch that is
 * searched once is not searched again while something found there is still apart from the chosen.
 */
function nextArea(
  problem: FingeringProblem,
  l: Layers,
  chosen: readonly Area[],
  known: Known,
): Area | null {
  let best: Area | null = null;
  let kept: Float64Array | null = null;
  for (const [from, to] of gaps(chosen, l.shift.length - 1)) {
    const key = `${from},${to}`;
    let found: readonly Area[] = (known.get(key) ?? []).filter((a) =>
      chosen.every((c) => areApart(c, a)),
    );
    if (found.length === 0 && known.get(key)?.length !== 0) {
      kept ??= stringBias(problem, l, chosen);
      found = areasBetween(problem, l, chosen, kept, handBias(l, from, to));
    }
    known.set(key, found);
    for (const a of found) if (best === null || a.fingering.cost < best.fingering.cost) best = a;
  }
  return best;
}

/** The areas apart from all chosen that the search finds when it is drawn to one stretch, more and more firmly. */
function areasBetween(
  problem: FingeringProblem,
  l: Layers,
  chosen: readonly Area[],
  kept: Float64Array,
  away: Float64Array,
): readonly Area[] {
  const pulls = PULLS.slice(0, Math.max(3, MOST_STATES / kept.length));
  const bias = new Float64Array(kept.length);
  const found: Area[] = [];
  let cheapest = Number.POSITIVE_INFINITY;
  let idle = 0;
  for (const [fret, string] of pulls) {
    for (let s = 0; s < bias.length; s++) bias[s] = string * kept[s]! + fret * away[s]!;
    const f = cheapestFingering(problem, l, bias);
    if (f === null) continue;
    const area = areaOf(problem, f);
    if (f.cost < cheapest && chosen.every((c) => areApart(c, area))) {
      found.push(area);
      cheapest = f.cost;
      idle = 0;
    } else if (++idle >= PATIENCE && found.length > 0) break;
  }
  return found;
}

/** The stretches of the neck, as index-finger frets, that are far enough from every chosen hand. */
function gaps(chosen: readonly Area[], last: number): readonly (readonly [number, number])[] {
  const hands = chosen.map((c) => c.hand).sort((a, b) => a - b);
  const edges = [1 - FRETS_APART, ...hands, last + FRETS_APART];
  return edges.slice(1).flatMap((edge, i) => {
    const from = edges[i]! + FRETS_APART;
    const to = edge - FRETS_APART;
    return from <= to ? [[from, to] as const] : [];
  });
}

/** For each state, how many frets its index finger lies outside the stretch. */
function handBias(l: Layers, from: number, to: number): Float64Array {
  const bias = new Float64Array(l.start[l.grips.length]!);
  l.grips.forEach((g, i) => {
    for (let q = 0; q < g.count; q++)
      for (let s = g.first[q]!, h = g.hand[q]!; s < g.first[q + 1]!; s++, h++)
        bias[l.start[i]! + s] = Math.max(0, from - h, h - to);
  });
  return bias;
}

/** For each state, how many of the notes struck have a string that a chosen fingering frets them on. */
function stringBias(problem: FingeringProblem, l: Layers, chosen: readonly Area[]): Float64Array {
  const bias = new Float64Array(l.start[l.grips.length]!);
  l.grips.forEach((g, i) => {
    const { struck } = problem.moments[i]!;
    for (let q = 0; q < g.count; q++) {
      let same = 0;
      struck.forEach((n, k) => {
        const string = g.strings[q * g.width + k]!;
        for (const c of chosen) if (c.fretted[n] && c.strings[n] === string) same++;
      });
      bias.fill(same, l.start[i]! + g.first[q]!, l.start[i]! + g.first[q + 1]!);
    }
  });
  return bias;
}
