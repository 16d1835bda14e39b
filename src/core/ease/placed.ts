import { applyFingering } from '../neck/apply';
import { type Load, loadOf } from '../neck/difficulty';
import { checkPlayable } from '../neck/playable';
import { type NoteWish, problemOf } from '../neck/problem-of';
import { findFingerings } from '../neck/solve';
import type { NoteId, Phrase } from '../phrase/types';
import { mendAfter } from '../validity/mend';
import { keepsFrame, placesIn, withoutStaleFingers } from '../vary/place';
import type { Proposal } from './types';

/** A proposal at its places on the neck, easier than before. */
export interface Placed {
  readonly phrase: Phrase;
  readonly load: Load;
}

/**
 * A proposal at the best places for what it sets free, all else staying where it is.
 * @param isEasier Asked first, since most proposals are not.
 * @returns null where it cannot be played, is not easier, or a sign of the phrase would have to give way.
 */
export function placeEasier(
  before: Phrase,
  { free, phrase }: Proposal,
  style: Load['problem']['style'],
  isEasier: (load: Load) => boolean,
): Placed | null {
  const placed = free === null ? phrase : placedAround(phrase, free, style);
  if (placed === null) return null;
  const load = loadOf(placed, style);
  if (load === null || !isEasier(load)) return null;
  const mended = mendAfter(before, placed);
  if (!mended.ok || mended.gaveWay.length > 0) return null;
  const fits = keepsFrame(before, placed) && checkPlayable(placed).length === 0;
  return fits ? { phrase: placed, load } : null;
}

function placedAround(
  p: Phrase,
  free: ReadonlySet<NoteId>,
  style: Load['problem']['style'],
): Phrase | null {
  const places = placesIn(p);
  const wishes = (id: NoteId): NoteWish => {
    const place = free.has(id) ? undefined : places.get(id);
    return place === undefined ? {} : { onlyString: place.string, onlyFret: place.fret };
  };
  const best = findFingerings(problemOf(p, { wishes }), { style })[0];
  return best === undefined ? null : withoutStaleFingers(p, applyFingering(p, best));
}
