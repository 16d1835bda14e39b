import type { Phrase } from '../phrase/types';
import { findPositions } from './areas';
import { type CostReason, explainCost } from './explain';
import { medianHand } from './positions';
import type { Fingering, FingeringProblem } from './problem';
import { problemOf } from './problem-of';
import { findFingerings } from './solve';
import type { FingeringStyle } from './weights';

/** Steps of the scale: 1 lies under the hand, 2 easy, 3 moves, 4 hard, 5 very hard. */
export type DifficultyStep = 1 | 2 | 3 | 4 | 5;

/** Where a phrase stands on the scale of difficulty, without reasons. */
export interface Load {
  readonly step: DifficultyStep;
  /** What the step is read from; of two phrases the one with less is easier. */
  readonly score: number;
  /** Cost of the hand's cheapest way through the places (N4), all moments together. */
  readonly cost: number;
  /** What the picking hand strikes in a second. */
  readonly pace: number;
  readonly problem: FingeringProblem;
  readonly fingering: Fingering;
}

/** How hard a phrase is for the hands where it lies. */
export interface Difficulty {
  readonly step: DifficultyStep;
  /** Cost of the hand for each moment struck (N4), and what is struck in a second. */
  readonly effort: number;
  readonly pace: number;
  /** What is hard, the costliest first. */
  readonly reasons: readonly CostReason[];
  /** Where on the neck the same is easier by a step at least; null where nowhere. */
  readonly easier: { readonly fret: number; readonly step: DifficultyStep } | null;
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
 * Where a phrase stands on the scale: the cost of the hand's cheapest way through the places it has,
 * for each moment, and more where much is struck in a second. What is hammered, pulled off or slid to
 * is no stroke. Null for a phrase without notes, or one whose places break a hard rule.
 * @param style Other weights than the phrase's own: two phrases are compared by one set.
 */
export function loadOf(p: Phrase, style?: FingeringStyle): Load | null {
  const problem = problemOf(p, { keepPlaces: true });
  const fingering = findFingerings(problem, style === undefined ? {} : { style })[0];
  if (fingering === undefined || problem.moments.length === 0) return null;
  const pace = paceOf(problem);
  const score = scoreOf(fingering.cost, pace, problem.moments.length);
  return { step: step(score), score, cost: fingering.cost, pace, problem, fingering };
}

/**
 * Difficulty on a scale of five steps, with its reasons. It is about hands alone: reading, rhythm and
 * tone are the teacher's to judge. Null as `loadOf`.
 */
export function difficultyOf(p: Phrase): Difficulty | null {
  const load = loadOf(p);
  if (load === null) return null;
  const { problem, fingering, pace } = load;
  const count = problem.moments.length;
  const free = problemOf(p);
  const best = load.step === 1 ? undefined : findPositions(p, { count: 1 })[0];
  const other = best === undefined ? load.step : step(scoreOf(best.cost, pace, count));
  return {
    step: load.step,
    effort: fingering.cost / count,
    pace,
    reasons: explainCost(p, problem, fingering)
      .filter((r) => r.cost >= WORTH_TELLING)
      .slice(0, TOLD),
    easier:
      best !== undefined && other < load.step
        ? { fret: medianHand(free, best), step: other }
        : null,
  };
}

/** Strokes of the picking hand in a second. */
function paceOf({ notes, moments }: FingeringProblem): number {
  const seconds = moments.reduce((sum, m) => sum + m.seconds, 0);
  const strokes = moments.filter((m) => m.struck.some((i) => isStruck(notes[i]!.attack))).length;
  return strokes / Math.max(1, seconds);
}

function isStruck(attack: FingeringProblem['notes'][number]['attack']): boolean {
  return attack === undefined || attack === 'slide-plucked' || attack === 'tap';
}

function scoreOf(cost: number, pace: number, moments: number): number {
  return cost / moments + HURRY * Math.max(0, pace - CALM);
}

function step(x: number): DifficultyStep {
  const at = STEPS.findIndex((s) => x <= s);
  return (at < 0 ? 5 : at + 1) as DifficultyStep;
}
