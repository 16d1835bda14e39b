import type { Phrase, Ticks } from '../phrase/types';
import { findAreas, type PositionOptions } from './areas';
import { barPlaces } from './bars';
import { DEFAULT_LIMITS } from './limits';
import { handAt } from './neighbours';
import type { Fingering, FingeringProblem, Moment, Neighbour } from './problem';
import { problemOf } from './problem-of';
import { findFingerings } from './solve';

/** A part of a long phrase with the areas in which it alone can be played. */
export interface PhrasePart {
  /** From its first note to the first note of the next part, or the end. */
  readonly from: Ticks;
  readonly to: Ticks;
  /** Numbers of its first and last bar; the pickup is bar 0. */
  readonly bars: readonly [number, number];
  readonly problem: FingeringProblem;
  /** Easiest first; each places the part's notes only, so `applyFingering` leaves all others. */
  readonly positions: readonly Fingering[];
}

/** Phrases of up to so many bars are one part. */
const SHORT = 6;
/** Bars of a part: as many as wished, no fewer and no more. */
const WISHED = 4;
const FEWEST = 2;

/**
 * The areas of a long phrase part by part (N5): about four bars each, cut where nothing is held,
 * slid or left to ring, at a bar line or rest near by. A part's cost counts the way from and to the
 * parts beside it as they stand. A phrase of six bars or fewer is one part.
 */
export function findPartPositions(phrase: Phrase, options: PositionOptions): readonly PhrasePart[] {
  const limits = options.limits ?? DEFAULT_LIMITS;
  const problem = problemOf(phrase, { limits });
  const { moments } = problem;
  if (moments.length === 0) return [];
  const standing = problemOf(phrase, { limits, keepPlaces: true });
  const [kept] = findFingerings(standing);
  const side = (at: number, seconds: number): Neighbour | undefined =>
    kept === undefined ? undefined : { ...handAt(standing, kept, at), seconds };
  const cuts = [0, ...cutsOf(phrase, problem), moments.length];
  return cuts.slice(1).map((end, k): PhrasePart => {
    const start = cuts[k]!;
    const before = start === 0 ? undefined : side(start - 1, moments[start]!.seconds);
    const after = end === moments.length ? undefined : side(end, moments[end]!.seconds);
    const part = sliceOf(problem, start, end, before, after);
    const from = start === 0 ? 0 : moments[start]!.onset;
    const to = end === moments.length ? phrase.length : moments[end]!.onset;
    const [b, e] = barPlaces(phrase, [{ onset: from }, { onset: Math.max(from, to - 1) }]);
    const bars = [b!.number, e!.number] as const;
    return { from, to, bars, problem: part, positions: findAreas(part, options) };
  });
}

/** The moments of a problem from `start` to before `end`, as a problem of their own. */
function sliceOf(
  problem: FingeringProblem,
  start: number,
  end: number,
  before: Neighbour | undefined,
  after: Neighbour | undefined,
): FingeringProblem {
  const { before: _b, after: _a, ...whole } = problem;
  const numbers = new Map<number, number>();
  const moments = problem.moments.slice(start, end);
  for (const m of moments) for (const i of m.struck) numbers.set(i, numbers.size);
  const renumbered = (list: readonly number[]) => list.map((i) => numbers.get(i)!);
  return {
    ...whole,
    notes: [...numbers.keys()].map((i) => problem.notes[i]!),
    moments: moments.map((m) => ({
      ...m,
      struck: renumbered(m.struck),
      held: renumbered(m.held),
      ringing: renumbered(m.ringing),
    })),
    ...(before === undefined ? {} : { before }),
    ...(after === undefined ? {} : { after }),
  };
}

/** Where parts begin, as numbers of moments; none in a short phrase. */
function cutsOf(phrase: Phrase, problem: FingeringProblem): readonly number[] {
  const places = barPlaces(phrase, problem.moments).map((p) => p.at);
  const [end] = barPlaces(phrase, [{ onset: Math.max(0, phrase.length - 1) }]);
  const total = end!.at;
  const cuts: number[] = [];
  for (let first = 0; total - places[first]! > SHORT; ) {
    const cut = cutAfter(problem, places, first, total);
    if (cut === null) break;
    cuts.push(cut);
    first = cut;
  }
  return cuts;
}

/** The best moment for the next part to begin; null where nothing lets go for too long. */
function cutAfter(
  problem: FingeringProblem,
  places: readonly number[],
  first: number,
  total: number,
): number | null {
  let best: number | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (let i = first + 1; i < places.length && places[i]! - places[first]! <= SHORT; i++) {
    const at = places[i]!;
    const bars = at - places[first]!;
    const rest = Math.min(1, at - places[i - 1]!);
    if (bars < FEWEST || total - at < FEWEST || rest === 0) continue;
    if (!isFree(problem, problem.moments[i]!)) continue;
    const off = Math.abs(bars - WISHED) + (Number.isInteger(at) ? 0 : 0.5) - rest;
    if (off >= least) continue;
    least = off;
    best = i;
  }
  return best;
}

/** Whether nothing of what was struck before reaches into the moment. */
function isFree(problem: FingeringProblem, m: Moment): boolean {
  return (
    m.held.length === 0 &&
    m.ringing.length === 0 &&
    m.struck.every((i) => problem.notes[i]!.link === undefined)
  );
}
