import type { Phrase } from '../phrase/types';
import { findPositions } from './areas';
import { type CostReason, explainCost } from './explain';
import { medianHand } from './positions';
import { problemOf } from './problem-of';
import { findFingerings } from './solve';

/** How hard a phrase is for the hands where it lies. */
export interface Difficulty {
  /** 1 lies under the hand, 2 easy, 3 moves, 4 hard, 5 very hard. */
  readonly step: 1 | 2 | 3 | 4 | 5;
  /** Cost of the hand for each moment struck (N4), and what is struck in a second. */
  readonly effort: number;
  readonly pace: number;
  /** What is hard, the costliest first. */
  readonly reasons: readonly CostReason[];
  /** Where on the neck the same is easier by a step at least; null where nowhere. */
  readonly easier: { readonly fret: number; readonly step: Difficulty['step'] } | null;
}

/** Up to so much a moment is step 1, 2, 3 and 4 (*ours*: it parts our sample lines into five groups of some size). */
const STEPS = [0.45, 0.75, 1, 1.5] as const;

/** From so many strokes in a second on speed counts, and so much for each more (*ours*). */
const CALM = 2;
const HURRY = 0.3;

/** A reason below this share of a moment's usual cost is no trouble. */
const WORTH_TELLING = 0.5;
const TOLD = 3;

/**
 * Difficulty on a scale of five steps: the cost of the hand's cheapest way through the places that
 * the phrase has, for each moment, and more where it is fast. It is about hands alone: reading,
 * rhythm and tone are the teacher's to judge. Null for a phrase without notes, or one whose places
 * break a hard rule.
 */
export function difficultyOf(p: Phrase): Difficulty | null {
  const problem = problemOf(p, { keepPlaces: true });
  const fingering = findFingerings(problem)[0];
  const count = problem.moments.length;
  if (fingering === undefined || count === 0) return null;
  const seconds = problem.moments.reduce((sum, m) => sum + m.seconds, 0);
  const pace = count / Math.max(1, seconds);
  const stepOf = (cost: number) => step(cost / count + HURRY * Math.max(0, pace - CALM));
  const here = stepOf(fingering.cost);
  const free = problemOf(p);
  const best = here === 1 ? undefined : findPositions(p, { count: 1 })[0];
  const other = best === undefined ? here : stepOf(best.cost);
  return {
    step: here,
    effort: fingering.cost / count,
    pace,
    reasons: explainCost(p, problem, fingering)
      .filter((r) => r.cost >= WORTH_TELLING)
      .slice(0, TOLD),
    easier:
      best !== undefined && other < here ? { fret: medianHand(free, best), step: other } : null,
  };
}

function step(x: number): Difficulty['step'] {
  const at = STEPS.findIndex((s) => x <= s);
  return (at < 0 ? 5 : at + 1) as Difficulty['step'];
}
