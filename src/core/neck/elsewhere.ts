import type { Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { playElsewhere } from './apply';
import { findPositions } from './areas';
import { type CostReason, explainCost } from './explain';
import { findPartPositions } from './parts';
import { indexFingerFret, medianHand } from './positions';
import type { Fingering } from './problem';
import { problemOf } from './problem-of';

/** A phrase, or a part of it, at another place of the neck. */
export interface PlaceElsewhere {
  /** The whole phrase with the notes at their other places, without the fingers named for the old. */
  readonly phrase: Phrase;
  /** Median fret of the index finger over what was placed, counted from the capo. */
  readonly fret: number;
  readonly effort: number;
  /** Why it takes that effort, the costliest first. */
  readonly reasons: readonly CostReason[];
}

/** The other places of one part of a long phrase. */
export interface PartElsewhere {
  /** Its first and last bar; the pickup is bar 0. */
  readonly bars: readonly [number, number];
  readonly places: readonly PlaceElsewhere[];
}

/**
 * The areas of the neck in which a phrase can be played other than where it stands (N5), easiest
 * first; empty where there are none or the hard rules allow none.
 * @param most so many at most.
 * @param keepFirst What is struck first stays where it is: the player begins there.
 */
export function placesElsewhere(
  p: Phrase,
  most: number,
  keepFirst = false,
): readonly PlaceElsewhere[] {
  const problem = problemOf(p, { keepFirst });
  return others(p, findPositions(p, { count: most + 1, keepFirst }), most).map(
    ({ phrase, fingering }) => ({
      phrase,
      fret: indexFingerFret(phrase),
      effort: fingering.cost,
      reasons: explainCost(p, problem, fingering),
    }),
  );
}

/**
 * The same for each part of a long phrase, the other parts staying where they are; one part for a
 * phrase of up to six bars.
 */
export function partsElsewhere(p: Phrase, most: number): readonly PartElsewhere[] {
  return findPartPositions(p, { count: most + 1 }).map(({ bars, problem, positions }) => ({
    bars,
    places: others(p, positions, most).map(({ phrase, fingering }) => ({
      phrase,
      fret: medianHand(problem, fingering),
      effort: fingering.cost,
      reasons: explainCost(p, problem, fingering),
    })),
  }));
}

/** The fingerings that put some note elsewhere, with the phrase as it is then. */
function others(
  p: Phrase,
  found: readonly Fingering[],
  most: number,
): readonly { readonly phrase: Phrase; readonly fingering: Fingering }[] {
  const here = placeKey(p);
  return found
    .map((fingering) => ({ phrase: playElsewhere(p, fingering), fingering }))
    .filter(({ phrase }) => placeKey(phrase) !== here)
    .slice(0, most);
}

function placeKey(p: Phrase): string {
  return notesOf(p)
    .map(({ note }) => `${note.id} ${note.string}/${note.fret}`)
    .sort()
    .join();
}
