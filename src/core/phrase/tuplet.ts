import { SHORTEST_TICKS } from './note-value';
import type { TupletRatio } from './tuplet-ratio';
import type { Ticks, Tuplet } from './types';

/*
 * The grid inside a tuplet (T1). A written 128th of it lasts `normal` parts in `actual` of one outside.
 * That is a whole number of ticks where the notes are 3, 5, 7, 9 or 15 in the time of a power of two. Of
 * four in the time of three the 64th would fall between two ticks, so that the 32nd is its shortest value.
 */

/** The shortest value that may be written in a tuplet, in ticks that it has outside. */
export function shortestIn({ actual, normal }: TupletRatio): Ticks {
  let written = SHORTEST_TICKS;
  while ((written * normal) % actual !== 0) written *= 2;
  return written;
}

/** Ticks of that value as it is played: notes of the tuplet begin and end on multiples of it. */
export function stepIn(t: TupletRatio): Ticks {
  return (shortestIn(t) * t.normal) / t.actual;
}

/** Ticks that a written length lasts in a tuplet; null where it would fall between two ticks. */
export function playedIn(t: TupletRatio | null, written: Ticks): Ticks | null {
  if (t === null) return written;
  return written % shortestIn(t) === 0 ? (written * t.normal) / t.actual : null;
}

/** Ticks of the value of which `normal` fill the tuplet; it need not be a note value in what is unchecked. */
export function unitOf(t: Tuplet): Ticks {
  return t.duration / t.normal;
}

/** Whether so much time can be a tuplet of this ratio: of undotted values that it can have. */
export function canFill(t: TupletRatio, duration: Ticks): boolean {
  const times = duration / t.normal / shortestIn(t);
  return times >= 1 && Number.isInteger(Math.log2(times));
}

/** Whether a note may begin or end at a tick that lies in the tuplet. */
export function isPlaceIn(t: Tuplet, tick: Ticks): boolean {
  return (tick - t.onset) % stepIn(t) === 0;
}
