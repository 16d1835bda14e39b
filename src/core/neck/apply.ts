import { HARMONIC_NODES } from '../phrase/instrument';
import type { Grace, GraceNote, Note, NoteId, Phrase, PhraseEvent, Place } from '../phrase/types';
import type { Fingering } from './problem';
import { graceKey } from './timeline';

/**
 * The phrase with its notes and graces at the places of the fingering; everything else stays. Notes
 * the fingering does not name keep their places; events in which nothing moves keep their identity.
 * A natural harmonic that went to another kind of node takes that node's interval.
 */
export function applyFingering(p: Phrase, f: Pick<Fingering, 'places'>): Phrase {
  let touched = false;
  const voices = p.voices.map((v) => {
    const events = v.events.map((e) => placeEvent(e, f.places));
    if (events.every((e, i) => e === v.events[i])) return v;
    touched = true;
    return { ...v, events };
  });
  return touched ? { ...p, voices: voices as unknown as Phrase['voices'] } : p;
}

function placeEvent(e: PhraseEvent, places: ReadonlyMap<NoteId, Place>): PhraseEvent {
  const notes = e.notes.map((n) => placeNote(n, places.get(n.id)));
  const graces = e.graces?.map((g, i) => placeGrace(e, g, i, places));
  const same =
    notes.every((n, i) => n === e.notes[i]) &&
    (graces === undefined || graces.every((g, i) => g === e.graces![i]));
  if (same) return e;
  notes.sort((a, b) => a.string - b.string);
  return {
    ...e,
    notes: notes as unknown as PhraseEvent['notes'],
    ...(graces === undefined ? {} : { graces: graces as unknown as [Grace, ...Grace[]] }),
  };
}

function placeGrace(
  e: PhraseEvent,
  grace: Grace,
  index: number,
  places: ReadonlyMap<NoteId, Place>,
): Grace {
  const notes = grace.notes.map((n, k): GraceNote => {
    const place = places.get(graceKey(e, index, k));
    return place === undefined || isAt(n, place) ? n : { ...n, ...place };
  });
  if (notes.every((n, k) => n === grace.notes[k])) return grace;
  notes.sort((a, b) => a.string - b.string);
  return { notes: notes as unknown as Grace['notes'] };
}

function placeNote(n: Note, place: Place | undefined): Note {
  if (place === undefined || isAt(n, place)) return n;
  const moved = { ...n, string: place.string, fret: place.fret };
  if (moved.kind !== 'pitched' || moved.harmonic?.kind !== 'natural') return moved;
  const above = HARMONIC_NODES[place.fret];
  return above === undefined ? moved : { ...moved, harmonic: { kind: 'natural', above } };
}

function isAt(n: Place, place: Place): boolean {
  return n.string === place.string && n.fret === place.fret;
}
