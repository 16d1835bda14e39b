import type { Phrase } from '../phrase/types';
import { figuresOf, withFiguresAlike } from './figures-alike';
import { type Layers, layersOf, type Room, roomFor } from './layers';
import { DEFAULT_LIMITS, type Limits } from './limits';
import { costOfPath, fingeringOf, type Path } from './path';
import { FOLLOWS_HAND, isFretted } from './places';
import { median, medianHand } from './positions';
import type { Fingering, FingeringProblem } from './problem';
import { problemOf } from './problem-of';
import { drawnPath, pathsThrough } from './solve';
import { type FingeringStyle, weightsFor } from './weights';

/** What N5 compares. */
interface Where {
  /** Median index-finger fret. */
  readonly hand: number;
  /** String of each note of the problem where it is fretted, else 0. */
  readonly strings: readonly number[];
  /** How many of them are fretted. */
  readonly fretted: number;
}

/** A fingering as the search has it. */
interface Area extends Where {
  readonly path: Path;
  readonly cost: number;
}

/** Median index-finger frets of different areas are at least so far apart (N5). */
const FRETS_APART = 2;

function areaOf(problem: FingeringProblem, l: Layers, path: Path): Area {
  const strings = new Array<number>(problem.notes.length).fill(0);
  const hands: number[] = [];
  let fretted = 0;
  problem.moments.forEach(({ struck }, i) => {
    const g = l.grips[i]!;
    const q = path.grips[i]!;
    if (g.bound[q] === 1) hands.push(path.hands[i]!);
    for (let k = 0, at = q * g.width; k < struck.length; k++, at++) {
      const n = struck[k]!;
      const fret = g.frets[at]!;
      if (!isFretted(problem.notes[n]!, fret === FOLLOWS_HAND ? path.hands[i]! : fret)) continue;
      strings[n] = g.strings[at]!;
      fretted++;
    }
  });
  return { path, cost: costOfPath(l, path), hand: median(hands), strings, fretted };
}

/**
 * N5: at least a quarter of the notes that `a` frets lie on another string in `b`, and the median
 * index-finger frets differ by at least two.
 */
export function areDifferentAreas(problem: FingeringProblem, a: Fingering, b: Fingering): boolean {
  return areApart(whereIs(problem, a), whereIs(problem, b));
}

/** One pitch has one fret on a string, so what `a` frets on a string that `b` has it on, `b` frets, too. */
function areApart(a: Where, b: Where): boolean {
  if (Math.abs(a.hand - b.hand) < FRETS_APART) return false;
  let moved = 0;
  for (let i = 0; i < a.strings.length; i++)
    if (a.strings[i] !== 0 && a.strings[i] !== b.strings[i]) moved++;
  return a.fretted > 0 && moved * 4 >= a.fretted;
}

function whereIs(problem: FingeringProblem, f: Fingering): Where {
  const strings = problem.notes.map((n) => {
    const { string, fret } = f.places.get(n.id)!;
    return isFretted(n, fret) ? string : 0;
  });
  const fretted = strings.filter((string) => string > 0).length;
  return { hand: medianHand(problem, f), strings, fretted };
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
 * A figure that comes again lies at the same places where that costs little more. Empty where the
 * hard rules allow none.
 */
export function findPositions(phrase: Phrase, options: PositionOptions): readonly Fingering[] {
  const { limits = DEFAULT_LIMITS, keepFirst = false } = options;
  const problem = problemOf(phrase, { limits, keepFirst });
  return figuresAlike(problem, findAreas(problem, options), options);
}

/** Each area with its figures alike (`withFiguresAlike`) where it stays apart from all others; by cost. */
function figuresAlike(
  problem: FingeringProblem,
  found: readonly Fingering[],
  options: PositionOptions,
): readonly Fingering[] {
  if (figuresOf(problem).length === 0) return found;
  const kept = [...found];
  found.forEach((f, i) => {
    const alike = withFiguresAlike(problem, f, options);
    const others = kept.filter((_, k) => k !== i);
    if (others.every((o) => areApart(whereIs(problem, o), whereIs(problem, alike))))
      kept[i] = alike;
  });
  return kept.sort((a, b) => a.cost - b.cost);
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
  for (const path of pathsThrough(layers)) {
    if (chosen.length >= options.count || ++looked > most) break;
    const area = areaOf(problem, layers, path);
    if (chosen.every((c) => areApart(c, area))) chosen.push(area);
  }
  const all = looked <= most;
  const known: Known = new Map();
  const room = roomFor(layers);
  while (chosen.length < options.count && !all && chosen.length > 0) {
    const next = nextArea(problem, layers, chosen, known, room);
    if (next === null) break;
    chosen.push(next);
  }
  chosen.sort((a, b) => a.cost - b.cost);
  return chosen.map((c) => fingeringOf(problem, layers, c.path));
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
  room: Room,
): Area | null {
  let best: Area | null = null;
  let kept: Float64Array | null = null;
  for (const [from, to] of gaps(chosen, l.widest)) {
    const key = `${from},${to}`;
    let found: readonly Area[] = (known.get(key) ?? []).filter((a) =>
      chosen.every((c) => areApart(c, a)),
    );
    if (found.length === 0 && known.get(key)?.length !== 0) {
      kept ??= stringBias(problem, l, chosen);
      found = areasBetween(problem, l, chosen, kept, handBias(l, from, to), room);
    }
    known.set(key, found);
    for (const a of found) if (best === null || a.cost < best.cost) best = a;
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
  room: Room,
): readonly Area[] {
  const pulls = PULLS.slice(0, Math.max(3, MOST_STATES / kept.length));
  const bias = new Float64Array(kept.length);
  const found: Area[] = [];
  let cheapest = Number.POSITIVE_INFINITY;
  let idle = 0;
  for (const [fret, string] of pulls) {
    for (let s = 0; s < bias.length; s++) bias[s] = string * kept[s]! + fret * away[s]!;
    const path = drawnPath(l, bias, room);
    if (path === null) continue;
    const area = areaOf(problem, l, path);
    if (area.cost < cheapest && chosen.every((c) => areApart(c, area))) {
      found.push(area);
      cheapest = area.cost;
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
        for (const c of chosen) if (c.strings[n] === string) same++;
      });
      bias.fill(same, l.start[i]! + g.first[q]!, l.start[i]! + g.first[q + 1]!);
    }
  });
  return bias;
}
