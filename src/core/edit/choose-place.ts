import { type HandAt, handiestPlace, handyPlaces } from '../neck/handy-place';
import type { Note, Place } from '../phrase/types';
import type { Midi } from '../theory/pitch';
import { eventAt, voiceOf } from './select';
import type { EditState } from './state';

/** Every place where a pitch can be written at the cursor's moment, the handiest first. */
export function placesFor(s: EditState, midi: Midi): readonly Place[] {
  return handyPlaces(handAt(s), midi);
}

/** The handiest place of a pitch at the cursor's moment; null where the instrument does not have it. */
export function choosePlace(s: EditState, midi: Midi): Place | null {
  return handiestPlace(handAt(s), midi);
}

function handAt(s: EditState): HandAt {
  const { cursor } = s.selection;
  return {
    instrument: s.phrase.instrument,
    hand: s.pen.hand,
    string: lastNote(s)?.string ?? cursor.string,
    taken: eventAt(voiceOf(s), cursor.onset)?.event.notes.map((n) => n.string) ?? [],
  };
}

/** The note written or standing last before the cursor, the first string's of several. */
export function lastNote(s: EditState): Note | null {
  const v = voiceOf(s);
  const before = v.events.filter((e) => e.onset < s.selection.cursor.onset).at(-1);
  return before?.notes[0] ?? null;
}
