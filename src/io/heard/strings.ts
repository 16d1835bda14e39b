import { isStrungAsGuitar } from '../../core/heard/strung';
import type { HeardNote } from '../../core/heard/types';
import type { Instrument } from '../../core/phrase/types';

/** What a string e times less likely than the likeliest costs, in the unit of the fingering costs; see `sound/capture/README.md`. */
const WEIGHT = 1;
/** A string never costs more than this many powers of e: the model may be wrong. */
const MOST = 3;
/** Costs are rounded to so much, so that notes alike share their grips in the search. */
const STEP = 0.25;

/**
 * What each string of the instrument costs a note that was heard, as evidence for the search of a fingering; none
 * where nothing was heard of strings, or the instrument is not strung like a guitar of six strings.
 */
export function stringCosts(n: HeardNote, instrument: Instrument): readonly number[] | undefined {
  if (n.strings === undefined || !isStrungAsGuitar(instrument)) return undefined;
  const most = Math.max(...n.strings);
  return n.strings.map((share) => {
    const far = Math.min(MOST, Math.log(most / Math.max(share, 1e-9)));
    return WEIGHT * STEP * Math.round(far / STEP);
  });
}
