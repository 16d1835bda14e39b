import { fretFor, playableFrets } from '../neck/tuning';
import type { Note, Place } from '../phrase/types';
import type { Midi } from '../theory/pitch';
import { eventOver, voiceOf } from './select';
import type { EditState } from './state';

/** Frets under the four fingers of a hand that lies still. */
export const HAND_SPAN = 4;

/**
 * Every place on the neck where a pitch can be written at the cursor's moment, the handiest first: a
 * fret under the hand before one the hand would have to move to, then the string nearest to the one
 * played last. An open string counts as a move of two frets, since it rings against a fretted line.
 * A cheap local rule for writing note by note; the whole line is fingered by `findPositions`. Ours.
 */
export function placesFor(s: EditState, midi: Midi): readonly Place[] {
  const { instrument } = s.phrase;
  const { cursor } = s.selection;
  const taken = new Set(
    (eventOver(voiceOf(s), cursor.onset)?.event.onset === cursor.onset
      ? eventOver(voiceOf(s), cursor.onset)!.event.notes
      : []
    ).map((n) => n.string),
  );
  const last = lastNote(s)?.string ?? cursor.string;
  const places: { place: Place; cost: number }[] = [];
  for (let string = 1; string <= instrument.tuning.length; string++) {
    const fret = fretFor(instrument, string, midi);
    if (fret === null || fret > playableFrets(instrument)) continue;
    const cost =
      4 * shiftTo(s.pen.hand, fret) + Math.abs(string - last) + (taken.has(string) ? 1_000 : 0);
    places.push({ place: { string, fret }, cost });
  }
  return places.sort((a, b) => a.cost - b.cost).map((p) => p.place);
}

/** The handiest place of a pitch; null where the instrument does not have it. */
export function choosePlace(s: EditState, midi: Midi): Place | null {
  return placesFor(s, midi)[0] ?? null;
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

/** The note written or standing last before the cursor, the first string's of several. */
export function lastNote(s: EditState): Note | null {
  const v = voiceOf(s);
  const before = v.events.filter((e) => e.onset < s.selection.cursor.onset).at(-1);
  return before?.notes[0] ?? null;
}
