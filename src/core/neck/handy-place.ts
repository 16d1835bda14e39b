import { fretFor, playableFrets } from '../phrase/instrument';
import type { Instrument, Place } from '../phrase/types';
import type { Midi } from '../theory/pitch';

/** Frets under the four fingers of a hand that lies still. */
export const HAND_SPAN = 4;

/** Fret of the index finger before anything was played. Ours. */
export const FIRST_HAND = 5;

/** Where the hand is when the next note is looked for. */
export interface HandAt {
  readonly instrument: Instrument;
  /** Fret under the index finger, from 1; counts from the capo (N2). */
  readonly hand: number;
  /** The string played last. */
  readonly string: number;
  /** Strings on which something else is struck at the same moment; they come last. */
  readonly taken?: readonly number[];
}

/**
 * Every place on the neck where a pitch can be played, the handiest first: a fret under the hand
 * before one the hand would have to move to, then the string nearest to the one played last. An open
 * string counts as a move of two frets, since it rings against a fretted line. A cheap local rule for
 * writing note by note; the whole line is fingered by `findPositions`. Ours.
 */
export function handyPlaces(at: HandAt, midi: Midi): readonly Place[] {
  const { instrument, hand, taken = [] } = at;
  const places: { place: Place; cost: number }[] = [];
  for (let string = 1; string <= instrument.tuning.length; string++) {
    const fret = fretFor(instrument, string, midi);
    if (fret === null || fret > playableFrets(instrument)) continue;
    const away = Math.abs(string - at.string);
    const cost = 4 * shiftTo(hand, fret) + away + (taken.includes(string) ? 1_000 : 0);
    places.push({ place: { string, fret }, cost });
  }
  return places.sort((a, b) => a.cost - b.cost).map((p) => p.place);
}

/** The handiest place of a pitch; null where the instrument does not have it. */
export function handiestPlace(at: HandAt, midi: Midi): Place | null {
  return handyPlaces(at, midi)[0] ?? null;
}

/** Frets the hand has to move for a fret, 0 for one under it. */
function shiftTo(hand: number, fret: number): number {
  if (fret === 0) return 2;
  return Math.max(hand - fret, 0, fret - (hand + HAND_SPAN - 1));
}

/** The hand where a fret is under it, moved no further than needed. */
export function handFor(hand: number, fret: number): number {
  if (fret === 0) return hand;
  return Math.max(1, Math.min(hand, fret), fret - HAND_SPAN + 1);
}
