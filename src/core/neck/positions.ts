import type { Phrase } from '../phrase/types';
import type { FingeringStyle } from './costs';
import { frettedSpan, handSpan, type Stop } from './hand';
import { DEFAULT_LIMITS, type Limits } from './limits';
import { isFretted } from './places';
import type { FingeringProblem } from './problem';
import { problemOf } from './problem-of';
import { type Fingering, findFingerings } from './solve';

/**
 * Median fret of the index finger over the moments at which it presses or touches anything, on the
 * cheapest way of the hand through the places the phrase has (M12's p). Of two middle values the
 * lower; 1 for a phrase of open strings only. Where the places break a hard rule, the lowest fret
 * pressed at each moment stands for the index finger.
 * @returns a fret from 1, counted from the capo.
 */
export function indexFingerFret(phrase: Phrase, limits: Limits = DEFAULT_LIMITS): number {
  const problem = problemOf(phrase, { keepPlaces: true, limits });
  const best = findFingerings(problem, { style: 'lead' })[0];
  return best === undefined ? lowestFretMedian(problem) : medianHand(problem, best);
}

function lowestFretMedian(problem: FingeringProblem): number {
  const frets: number[] = [];
  for (const m of problem.moments) {
    const stops = [...m.struck, ...m.held].map((i): Stop => {
      const note = problem.notes[i]!;
      return { note, string: note.onlyString!, fret: note.onlyFret ?? 0 };
    });
    const span = frettedSpan(stops);
    if (span !== null) frets.push(span.lo);
  }
  return median(frets);
}

/** Median index-finger fret of a fingering, over the moments at which the hand is bound. */
export function medianHand(problem: FingeringProblem, f: Fingering): number {
  const frets: number[] = [];
  problem.moments.forEach((m, i) => {
    const stops = [...m.struck, ...m.held].map((k): Stop => {
      const note = problem.notes[k]!;
      return { note, ...f.places.get(note.id)! };
    });
    if (handSpan(stops) !== null) frets.push(f.handPositions[i]!);
  });
  return median(frets);
}

function median(values: number[]): number {
  if (values.length === 0) return 1;
  values.sort((a, b) => a - b);
  return values[(values.length - 1) >> 1]!;
}

/** N5: at least half of the fretted notes on another string, index fingers two frets apart or more. */
export function areDifferentAreas(problem: FingeringProblem, a: Fingering, b: Fingering): boolean {
  if (Math.abs(medianHand(problem, a) - medianHand(problem, b)) < 2) return false;
  let fretted = 0;
  let moved = 0;
  for (const n of problem.notes) {
    const at = a.places.get(n.id)!;
    if (!isFretted(n, at.fret)) continue;
    fretted++;
    if (b.places.get(n.id)!.string !== at.string) moved++;
  }
  return fretted > 0 && moved * 2 >= fretted;
}

export interface PositionOptions {
  /** At most so many. */
  readonly count: number;
  readonly style: FingeringStyle;
  readonly limits?: Limits;
}

/**
 * The cheapest fingerings that lie in different areas of the neck, each from every other (N5),
 * cheapest first. Empty where the hard rules allow none.
 */
export function findPositions(phrase: Phrase, options: PositionOptions): readonly Fingering[] {
  const problem = problemOf(phrase, { limits: options.limits ?? DEFAULT_LIMITS });
  return findAreas(problem, options);
}

export function findAreas(
  problem: FingeringProblem,
  options: PositionOptions,
): readonly Fingering[] {
  const chosen: Fingering[] = [];
  for (const f of findFingerings(problem, { style: options.style, count: 50 })) {
    if (chosen.length === options.count) break;
    if (chosen.every((c) => areDifferentAreas(problem, c, f))) chosen.push(f);
  }
  return chosen;
}
