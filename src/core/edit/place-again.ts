import { applyFingering } from '../neck/apply';
import { DEFAULT_LIMITS, type Limits } from '../neck/limits';
import { placeFaults, placesFor } from '../neck/places';
import type { FingerNote } from '../neck/problem';
import { type NoteWish, problemOf } from '../neck/problem-of';
import { findFingerings } from '../neck/solve';
import { graceKey } from '../neck/timeline';
import { playableFrets } from '../phrase/instrument';
import type { Instrument, NoteId, Phrase, PitchedNote, Place } from '../phrase/types';
import { mapNotes, notesOf } from '../phrase/walk';
import { formatPitch, type Pitch } from '../theory/pitch';

/** A phrase on another instrument, or why it cannot be played there. */
export type PlacedAgain =
  | {
      readonly ok: true;
      readonly phrase: Phrase;
      /** Notes that lie on another string now. */
      readonly restrung: number;
    }
  | { readonly ok: false; readonly because: string };

/** Where no hand is asked for: a phrase may be stored that none can play. */
const ANY_HAND: Limits = { ...DEFAULT_LIMITS, reach: 100_000, fingers: 99 };

/** A note or a grace with its place and where it may lie on the new instrument. */
interface Seat {
  readonly note: FingerNote;
  readonly place: Place;
  readonly pitch: Pitch;
  /** Stopped by a harmonic that needs a fret. */
  readonly stopped: boolean;
  /** Its place on the same string; null where it has to look for another string. */
  readonly stays: Place | null;
}

/**
 * The same pitches on another instrument or tuning: each note on its string where it can be, else
 * wherever the fingering engine puts it beside the others, together with what it is hammered, pulled
 * or slid from or to. Graces go with their note. Dead notes keep their places.
 */
export function placeAgain(p: Phrase, instrument: Instrument): PlacedAgain {
  const lost = notesOf(p).find(
    ({ note }) => note.kind === 'dead' && note.string > instrument.tuning.length,
  );
  if (lost !== undefined) {
    return {
      ok: false,
      because: `a dead note is on string ${lost.note.string}, which is not there`,
    };
  }
  const frame: Phrase = { ...p, instrument };
  const seats = seatsOf(p, frame);
  const unreachable = [...seats.values()].filter((x) => placesOf(x, instrument).length === 0);
  if (unreachable.length > 0) return { ok: false, because: unreachableWords(unreachable) };
  const free = freeWith(p, seats);
  const wishes = new Map<NoteId, NoteWish>();
  for (const [id, seat] of seats) {
    const { stays } = seat;
    if (stays !== null && !free.has(id)) {
      wishes.set(id, { onlyString: stays.string, onlyFret: stays.fret });
    } else wishes.set(id, freeWish(seat, instrument));
  }
  const places =
    free.size === 0
      ? new Map([...seats].map(([id, x]) => [id, x.stays!]))
      : searched(frame, seats, wishes);
  if (places === null) return { ok: false, because: 'its notes cannot be played together there' };
  const placed = withDeadNotes(p, applyFingering(frame, { places }));
  return { ok: true, ...withoutOldFingers(p, placed) };
}

function seatsOf(p: Phrase, frame: Phrase): ReadonlyMap<NoteId, Seat> {
  const where = new Map<NoteId, Pick<Seat, 'place' | 'pitch' | 'stopped'>>();
  for (const v of p.voices) {
    for (const e of v.events) {
      for (const n of e.notes) {
        if (n.kind === 'dead') continue;
        const stopped = n.harmonic !== undefined && n.harmonic.kind !== 'natural';
        where.set(n.id, { place: n, pitch: n.pitch, stopped });
      }
      e.graces?.forEach((g, i) => {
        g.notes.forEach((n, k) => {
          where.set(graceKey(e, i, k), { place: n, pitch: n.pitch, stopped: false });
        });
      });
    }
  }
  const seats = new Map<NoteId, Seat>();
  for (const note of problemOf(frame).notes) {
    const at = where.get(note.id);
    if (at === undefined) continue;
    seats.set(note.id, { ...at, note, stays: stayOf(p.instrument, frame.instrument, note, at) });
  }
  return seats;
}

/** The place of a note on its own string; null where the string does not have it there. */
function stayOf(
  before: Instrument,
  after: Instrument,
  note: FingerNote,
  { place, stopped }: Pick<Seat, 'place' | 'stopped'>,
): Place | null {
  if (place.string > after.tuning.length) return null;
  // What could not be played before need not be possible now.
  const wasSound = placeFaults(before, ANY_HAND, note, place).length === 0;
  const asked = wasSound ? note : bare(note);
  const found = placesFor(after, ANY_HAND, { ...asked, onlyString: place.string })
    .filter((x) => !stopped || x.fret > 0)
    .sort((a, b) => Math.abs(a.fret - place.fret) - Math.abs(b.fret - place.fret));
  return found[0] ?? null;
}

/** The note without what asks anything of its fret. */
function bare({ id, kind, midi }: FingerNote): FingerNote {
  return { id, kind, midi };
}

function placesOf(seat: Seat, instrument: Instrument): readonly Place[] {
  if (seat.stays !== null) return [seat.stays];
  return placesFor(instrument, ANY_HAND, { ...seat.note, ...freeWish(seat, instrument) });
}

function freeWish({ note, stopped }: Seat, instrument: Instrument): NoteWish {
  return {
    ...(note.onlyString === undefined ? {} : { onlyString: note.onlyString }),
    ...(stopped ? { fretRange: [1, playableFrets(instrument)] as const } : {}),
  };
}

/** The notes that look for a string: those that must, what they are linked with, and their graces. */
function freeWith(p: Phrase, seats: ReadonlyMap<NoteId, Seat>): ReadonlySet<NoteId> {
  const free = new Set<NoteId>();
  for (const [id, seat] of seats) if (seat.stays === null) free.add(id);
  const linked = [...seats].flatMap(([id, { note }]) =>
    note.link === undefined ? [] : [[id, note.link.source] as const],
  );
  const pairs = [...linked, ...ownGraces(p)];
  for (let before = -1; before < free.size; ) {
    before = free.size;
    for (const [a, b] of pairs) {
      if (free.has(a) && seats.has(b)) free.add(b);
      if (free.has(b)) free.add(a);
    }
  }
  return free;
}

/** Places by the fingering engine: beside what stays, then for any hand, then all of them anew. */
function searched(
  frame: Phrase,
  seats: ReadonlyMap<NoteId, Seat>,
  wishes: ReadonlyMap<NoteId, NoteWish>,
): ReadonlyMap<NoteId, Place> | null {
  const anew = (id: NoteId) => {
    const seat = seats.get(id);
    return seat === undefined ? undefined : freeWish(seat, frame.instrument);
  };
  const beside = (id: NoteId) => wishes.get(id);
  for (const [limits, wish] of [
    [DEFAULT_LIMITS, beside],
    [ANY_HAND, beside],
    [DEFAULT_LIMITS, anew],
  ] as const) {
    const found = findFingerings(problemOf(frame, { limits, wishes: wish }))[0];
    if (found !== undefined) return withGraces(frame, seats, found.places);
  }
  return null;
}

/** Graces that are plucked by themselves, on the new string of the note they belong to. */
function withGraces(
  frame: Phrase,
  seats: ReadonlyMap<NoteId, Seat>,
  places: ReadonlyMap<NoteId, Place>,
): ReadonlyMap<NoteId, Place> {
  const next = new Map(places);
  const top = playableFrets(frame.instrument);
  for (const [grace, note] of ownGraces(frame)) {
    const own = places.get(note);
    const [from, to] = [seats.get(note), seats.get(grace)];
    if (own === undefined || from === undefined || to === undefined) continue;
    if (from.note.kind === 'harmonic') continue;
    const fret = own.fret + to.note.midi - from.note.midi;
    if (fret >= 0 && fret <= top) next.set(grace, { string: own.string, fret });
  }
  return next;
}

/** The graces on the string of a note they lead up to, with that note, by keys and ids. */
function ownGraces(p: Phrase): readonly (readonly [NoteId, NoteId])[] {
  return p.voices.flatMap((v) =>
    v.events.flatMap((e) =>
      (e.graces ?? []).flatMap((g, i) =>
        g.notes.flatMap((n, k) => {
          const own = e.notes.find((m) => m.string === n.string);
          return own === undefined ? [] : [[graceKey(e, i, k), own.id] as const];
        }),
      ),
    ),
  );
}

function withDeadNotes(before: Phrase, after: Phrase): Phrase {
  const old = new Map(notesOf(before).map(({ note }) => [note.id, note]));
  const top = playableFrets(after.instrument);
  return mapNotes(after, ({ note }) => {
    const was = old.get(note.id);
    if (note.kind !== 'dead' || was === undefined) return note;
    return { ...note, fret: Math.min(was.fret, top) };
  });
}

/** A finger named for a note is not named for its place on another string. */
function withoutOldFingers(
  before: Phrase,
  after: Phrase,
): { readonly phrase: Phrase; readonly restrung: number } {
  const strings = new Map(notesOf(before).map(({ note }) => [note.id, note.string]));
  let restrung = 0;
  const phrase = mapNotes(after, ({ note }) => {
    if (strings.get(note.id) === note.string) return note;
    restrung++;
    if (note.kind === 'dead' || note.finger === undefined) return note;
    const { finger, ...rest } = note;
    return rest as PitchedNote;
  });
  return { phrase, restrung };
}

/** So many names of notes are told; more are only counted. */
const NAMED = 4;

function unreachableWords(seats: readonly Seat[]): string {
  const pinned = seats.find((x) => x.note.onlyString !== undefined);
  if (pinned !== undefined) {
    return `string ${pinned.place.string} would not have ${formatPitch(pinned.pitch)}, which is kept on it`;
  }
  const names = [...new Set(seats.map((x) => formatPitch(x.pitch)))];
  const list =
    names.length > NAMED ? `${names.slice(0, NAMED).join(', ')} and others` : names.join(', ');
  return seats.length === 1
    ? `a note would be out of reach: ${list}`
    : `${seats.length} notes would be out of reach: ${list}`;
}

/** What to add to a command's words. */
export function restrungWords(count: number): string {
  if (count === 0) return '';
  return count === 1 ? '; a note is on another string' : `; ${count} notes are on other strings`;
}
