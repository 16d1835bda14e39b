import type { Phrase } from '../phrase/types';
import type { Fingering, FingeringProblem, Neighbour } from './problem';
import { problemOf } from './problem-of';
import { findFingerings } from './solve';

/** Where the hand is at the ends of a phrase as it stands; null where its places cannot be played. */
export interface Ends {
  readonly first: Omit<Neighbour, 'seconds'>;
  readonly last: Omit<Neighbour, 'seconds'>;
}

/**
 * The hand at both ends of a phrase at the places it has, on its cheapest way through them. As
 * evidence for a phrase that follows: `{ before: { ...ends.last, seconds } }`.
 */
export function endsOf(p: Phrase): Ends | null {
  const problem = problemOf(p, { keepPlaces: true });
  const [f] = findFingerings(problem);
  if (f === undefined || problem.moments.length === 0) return null;
  return { first: handAt(problem, f, 0), last: handAt(problem, f, problem.moments.length - 1) };
}

/** The hand at a moment of a fingering, with the mean number of the strings struck there. */
export function handAt(
  problem: FingeringProblem,
  f: Pick<Fingering, 'places' | 'handPositions'>,
  moment: number,
): Omit<Neighbour, 'seconds'> {
  const { struck } = problem.moments[moment]!;
  const strings = struck.map((i) => f.places.get(problem.notes[i]!.id)!.string);
  return {
    hand: f.handPositions[moment]!,
    strings: strings.reduce((t, s) => t + s, 0) / strings.length,
  };
}
