import { HARMONIC_NODES } from '../phrase/instrument';
import { mapEventNotes, mapEvents, mapGraceNotes } from '../phrase/rebuild';
import type { Note, Phrase, Place } from '../phrase/types';
import type { Fingering } from './problem';
import { graceKey } from './timeline';

/**
 * The phrase with its notes and graces at the places of the fingering; everything else stays. Notes
 * the fingering does not name keep their places; events in which nothing moves keep their identity.
 * A natural harmonic that went to another kind of node takes that node's interval.
 */
export function applyFingering(p: Phrase, { places }: Pick<Fingering, 'places'>): Phrase {
  return mapEvents(p, (e) => {
    const placed = mapEventNotes(e, (n) => placeNote(n, places.get(n.id)));
    return mapGraceNotes(placed, (n, i, k) => {
      const place = places.get(graceKey(e, i, k));
      return place === undefined || isAt(n, place) ? n : { ...n, ...place };
    });
  });
}

/**
 * As `applyFingering`, for a phrase that had its places: fingers do not go along with a hand that lies
 * elsewhere, not even on notes that keep their place in it, but for the thumb, which the search has
 * counted with. Notes that the fingering does not name keep theirs.
 */
export function playElsewhere(p: Phrase, f: Pick<Fingering, 'places'>): Phrase {
  const stays = (n: Note) => {
    const place = f.places.get(n.id);
    return place === undefined || isAt(n, place);
  };
  if (p.voices.every((v) => v.events.every((e) => e.notes.every(stays))))
    return applyFingering(p, f);
  const left = mapEvents(p, (e) =>
    mapEventNotes(e, (n) => (f.places.has(n.id) ? withoutFinger(n) : n)),
  );
  return applyFingering(left, f);
}

function withoutFinger(n: Note): Note {
  if (n.kind !== 'pitched' || n.finger === undefined || n.finger === 'T') return n;
  const { finger: _, ...rest } = n;
  return rest;
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
