import { momentCosts } from '../neck/costs';
import type { Load } from '../neck/difficulty';
import { reasonsAt } from '../neck/explain';
import type { FingeringProblem, Moment } from '../neck/problem';
import { positionOf } from '../phrase/time';
import type { Phrase } from '../phrase/types';
import type { HardSpot, SpotPart } from './types';

/** A hard spot with the moments of the problem that it is about. */
export interface Spot extends HardSpot {
  /** First and last moment, both included. */
  readonly moments: readonly [number, number];
}

/**
 * What a hand feels at one moment. What is spread over a phrase makes no spot, nor do open strings and
 * what is cut off: they are a matter of choice and sound, and nobody finds them hard.
 */
const HARD: ReadonlySet<SpotPart> = new Set(['shift', 'reach', 'bend', 'fingers']);

/** A reason that costs less is not told, a spot that costs less is none; a change of position costs 1.8 at least. */
const REASON = 0.25;
const SPOT = 0.9;

/** So many at most: the hardest. */
const MOST = 6;

/** The hardest spots of a phrase where it lies, the hardest first. */
export function hardSpots(p: Phrase, { problem, fingering }: Load): readonly Spot[] {
  const ids = (list: readonly number[]) => list.map((i) => problem.notes[i]!.id);
  const found = momentCosts(problem, fingering).flatMap((m, i): Spot[] => {
    const reasons = reasonsAt(problem, m, undefined)
      .filter((r) => HARD.has(r.part) && r.cost >= REASON)
      .sort((a, b) => b.cost - a.cost);
    const cost = reasons.reduce((sum, r) => sum + r.cost, 0);
    if (cost < SPOT) return [];
    return [
      {
        onset: m.moment.onset,
        ...positionOf(p, m.moment.onset),
        cost,
        why: reasons.map((r) => r.what),
        parts: reasons.map((r) => r.part),
        noteIds: ids(m.moment.struck),
        moments: [i, i],
      },
    ];
  });
  const all = [...found, ...quickRuns(p, problem)];
  return all.sort((a, b) => b.cost - a.cost || a.onset - b.onset).slice(0, MOST);
}

/** More strokes in a second make a run quick, and so many of them make it a run (*ours*). */
const QUICK = 6.5;
const RUN = 4;

/** A stroke costs so much for each in a second beyond that, as on the scale of difficulty. */
const HURRY = 0.3;

/** Runs of single notes that are all plucked, quickly one after the other. */
function quickRuns(p: Phrase, problem: FingeringProblem): readonly Spot[] {
  const found: Spot[] = [];
  const { moments, notes } = problem;
  const isPlucked = (m: Moment) =>
    m.struck.length === 1 && notes[m.struck[0]!]!.attack === undefined;
  const isQuick = (i: number) =>
    i > 0 && moments[i]!.seconds > 0 && moments[i]!.seconds < 1 / QUICK && isPlucked(moments[i]!);
  for (let i = 1; i < moments.length; i++) {
    if (!isQuick(i) || !isPlucked(moments[i - 1]!)) continue;
    const from = i - 1;
    while (i + 1 < moments.length && isQuick(i + 1)) i++;
    if (i - from + 1 < RUN) continue;
    const run = moments.slice(from, i + 1);
    const seconds = run.slice(1).reduce((sum, m) => sum + m.seconds, 0);
    const pace = (i - from) / seconds;
    found.push({
      onset: moments[from]!.onset,
      ...positionOf(p, moments[from]!.onset),
      cost: HURRY * (pace - 2),
      why: [`${Math.round(pace * 10) / 10} strokes a second`],
      parts: ['pace'],
      noteIds: run.flatMap((m) => m.struck.map((n) => notes[n]!.id)),
      moments: [from, i],
    });
  }
  return found;
}
