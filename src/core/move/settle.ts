import { mapEvents } from '../phrase/rebuild';
import type { NoteId, Phrase, PhraseEvent } from '../phrase/types';
import { legatoSource, mapNotes, notesOf } from '../phrase/walk';
import { attackWord } from './naming';
import { adapted } from './plan';
import type { Adaptation } from './request';

/**
 * Rakes, graces and finger numbers, once every note has its place.
 * @param p The phrase before the move.
 * @returns The phrase, what to report by note, and what is said once of all: fingers.
 */
export function settle(
  p: Phrase,
  placed: Phrase,
): {
  phrase: Phrase;
  said: ReadonlyMap<NoteId, readonly Adaptation[]>;
  general: readonly Adaptation[];
} {
  const said = new Map<NoteId, readonly Adaptation[]>();
  const flagged = pluckOrphans(clearGraces(clearRakes(placed, said), said), said);
  if (isSameShape(p, flagged)) return { phrase: flagged, said, general: [] };
  const taken: number[] = [];
  const phrase = mapNotes(flagged, ({ note }) => {
    // The thumb is kept where the hand could not do without it; it lies on its string as before.
    if (note.kind === 'dead' || note.finger === undefined || note.finger === 'T') return note;
    taken.push(note.finger);
    const { finger: _, ...rest } = note;
    return rest;
  });
  return { phrase, said, general: taken.length === 0 ? [] : [fingersTaken(taken)] };
}

function fingersTaken(fingers: readonly number[]): Adaptation {
  const [one, ...more] = fingers;
  const what =
    more.length === 0 ? `finger ${one} was` : `the fingers of ${fingers.length} notes were`;
  return adapted('M12', `${what} taken off: the shape is another one`, true);
}

/** M11: a rake keeps its strings, but leaves out those that its note now lies on or beyond. */
function clearRakes(p: Phrase, said: Map<NoteId, readonly Adaptation[]>): Phrase {
  if (p.voices.every((v) => v.events.every((e) => e.rake === undefined))) return p;
  return mapEvents(p, (e): PhraseEvent => {
    if (e.rake === undefined) return e;
    const struck = e.notes.map((n) => n.string);
    const [from, then] = e.rake;
    // One string alone may be raked from either side.
    const upwards = then === undefined ? from > Math.max(...struck) : then < from;
    const left = e.rake.filter((s) =>
      upwards ? s > Math.max(...struck) : s < Math.min(...struck),
    );
    if (left.length === e.rake.length) return e;
    const [first, ...more] = left;
    const text =
      first === undefined
        ? 'the rake has no strings left before its note and is left out'
        : `the rake is shortened to the strings before its note`;
    said.set(e.notes[0].id, [adapted('M11', text, true)]);
    const { rake: _, ...rest } = e;
    return first === undefined ? rest : { ...rest, rake: [first, ...more] };
  });
}

/**
 * A grace note that the new fingering put on the string of a note slid into from an interval would
 * start that note twice; the slide-in is the note's own and stays (M11).
 */
function clearGraces(p: Phrase, said: Map<NoteId, readonly Adaptation[]>): Phrase {
  const clashes = (e: PhraseEvent, string: number) =>
    e.notes.some((n) => n.string === string && n.kind === 'pitched' && n.slideIn !== undefined);
  return mapEvents(p, (e): PhraseEvent => {
    const graces = e.graces?.filter((g) => !g.notes.some((n) => clashes(e, n.string)));
    if (graces === undefined || graces.length === e.graces?.length) return e;
    const text = 'played without a grace note that came to lie on the string of a slide in';
    said.set(e.notes[0].id, [...(said.get(e.notes[0].id) ?? []), adapted('M11', text, true)]);
    const { graces: _, ...rest } = e;
    const [first, ...more] = graces;
    return first === undefined ? rest : { ...rest, graces: [first, ...more] };
  });
}

/** A note that was led to by a grace note which had to go is plucked (M11). */
function pluckOrphans(p: Phrase, said: Map<NoteId, readonly Adaptation[]>): Phrase {
  return mapNotes(p, ({ note, voice, eventIndex }) => {
    if (note.kind === 'dead' || note.attack === undefined || note.attack === 'tap') return note;
    if (legatoSource(p.voices[voice]!.events, eventIndex, note.string) !== null) return note;
    const text = `plucked: the ${attackWord(note.attack)} has lost the note it started from`;
    said.set(note.id, [...(said.get(note.id) ?? []), adapted('M11', text, true)]);
    const { attack: _, ...plain } = note;
    return plain;
  });
}

/** Whether every note lies on its old string, all shifted by the same number of frets and none open. */
function isSameShape(p: Phrase, q: Phrase): boolean {
  const places = new Map(notesOf(p).map(({ note }) => [note.id, note]));
  let shift: number | null = null;
  for (const { note } of notesOf(q)) {
    const was = places.get(note.id);
    if (was === undefined || note.kind === 'dead') continue;
    if (was.string !== note.string) return false;
    if ((was.fret === 0) !== (note.fret === 0)) return false;
    if (note.fret === 0) continue;
    shift ??= note.fret - was.fret;
    if (note.fret - was.fret !== shift) return false;
  }
  return true;
}
