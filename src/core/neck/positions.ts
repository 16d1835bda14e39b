import type { Phrase, Ticks } from '../phrase/types';
import { frettedSpan, handSpan, type Stop } from './hand';
import { layersOf } from './layers';
import { DEFAULT_LIMITS, type Limits } from './limits';
import type { Fingering, FingeringProblem } from './problem';
import { problemOf } from './problem-of';
import { cheapestFingering } from './solve';
import { WEIGHTS, type Weights } from './weights';

/**
 * What moves a hand through places that are given: changes of position and reach. No part of the
 * neck is home; of equal ways the hand takes the highest, so that a lone note is under the index.
 */
const HAND_ALONE: Weights = {
  ...WEIGHTS.lead,
  open: 0,
  openNut: 0,
  openHigh: 0,
  bendAlone: 0,
  gap: 0,
  ringCut: 0,
  home: 0,
  high: -0.001,
  highAbove: 0,
};

/**
 * Median fret of the index finger over the moments at which it presses or touches anything, on the
 * hand's cheapest way through the places the phrase has (M12's p). Of two middle values the lower;
 * 1 for a phrase of open strings only. Where the places break a hard rule, the lowest fret pressed
 * at each moment stands for the index finger.
 * @returns a fret from 1, counted from the capo.
 */
export function indexFingerFret(phrase: Phrase, limits: Limits = DEFAULT_LIMITS): number {
  const problem = problemOf(phrase, { keepPlaces: true, limits });
  const layers = layersOf(problem, HAND_ALONE);
  const best = layers === null ? null : cheapestFingering(problem, layers);
  return best === null ? lowestFretMedian(problem) : medianHand(problem, best);
}

/** Where the index finger lies at a moment at which the hand presses or touches anything. */
export interface HandAt {
  readonly onset: Ticks;
  /** From 1, counted from the capo. */
  readonly fret: number;
}

/**
 * The hand's cheapest way through the places a phrase has, moment by moment; the lowest fret pressed
 * where the places break a hard rule.
 */
export function handPath(phrase: Phrase, limits: Limits = DEFAULT_LIMITS): readonly HandAt[] {
  const problem = problemOf(phrase, { keepPlaces: true, limits });
  const layers = layersOf(problem, HAND_ALONE);
  const best = layers === null ? null : cheapestFingering(problem, layers);
  return problem.moments.flatMap((m, i): HandAt[] => {
    const stops = [...m.struck, ...m.held].map((k): Stop => {
      const note = problem.notes[k]!;
      return { note, string: note.onlyString!, fret: note.onlyFret ?? 0 };
    });
    if (best !== null) {
      return handSpan(stops) === null ? [] : [{ onset: m.onset, fret: best.handPositions[i]! }];
    }
    const span = frettedSpan(stops);
    return span === null ? [] : [{ onset: m.onset, fret: span.lo }];
  });
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

/** The lower of two middle values; 1 of none. Sorts what it is given. */
export function median(values: number[]): number {
  if (values.length === 0) return 1;
  values.sort((a, b) => a - b);
  return values[(values.length - 1) >> 1]!;
}
