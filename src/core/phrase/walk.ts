import { midiOf, type Pitch } from '../theory/pitch';
import { mapEventNotes, mapEvents } from './rebuild';
import type { Note, NoteId, Phrase, PhraseEvent, PitchedNote, Ticks } from './types';
import { CURL_SEMITONES } from './types';

/** A note with where it stands in the phrase. */
export interface NoteAt {
  readonly note: Note;
  readonly event: PhraseEvent;
  /** 0 or 1. */
  readonly voice: number;
  readonly eventIndex: number;
  readonly noteIndex: number;
  readonly onset: Ticks;
}

/** Every note by onset, then voice, then string; the order in which reports and listings name them. */
export function notesOf(p: Phrase): readonly NoteAt[] {
  const all: NoteAt[] = [];
  p.voices.forEach((v, voice) => {
    v.events.forEach((event, eventIndex) => {
      event.notes.forEach((note, noteIndex) => {
        all.push({ note, event, voice, eventIndex, noteIndex, onset: event.onset });
      });
    });
  });
  return all.sort((a, b) => a.onset - b.onset || a.voice - b.voice || a.noteIndex - b.noteIndex);
}

/** Where an event ends, in ticks from the beginning of the phrase. */
export function endOf(e: PhraseEvent): Ticks {
  return e.onset + e.duration;
}

/** The pitch a listener takes the note for: a bend's target, else the pitch itself (D5). */
export function heardPitch(n: PitchedNote): Pitch {
  return n.bend !== undefined && n.bend.shape !== 'curl' ? n.bend.target : n.pitch;
}

/** Width of a bend in semitones; 0 for a note without one. */
export function bendSemitones(n: PitchedNote): number {
  if (n.bend === undefined) return 0;
  return n.bend.shape === 'curl' ? CURL_SEMITONES : midiOf(n.bend.target) - midiOf(n.pitch);
}

/**
 * The note from which a hammer-on, pull-off or slide starts: the last note of a grace before it on
 * the same string, else the note on the same string in the event before, where that event lasts up
 * to this one. Null where there is none.
 */
export function legatoSource(
  events: readonly PhraseEvent[],
  eventIndex: number,
  string: number,
): { readonly pitch: Pitch; readonly fret: number; readonly id: NoteId | null } | null {
  const event = events[eventIndex];
  if (event === undefined) return null;
  for (const g of [...(event.graces ?? [])].reverse()) {
    const n = g.notes.find((x) => x.string === string);
    if (n !== undefined) return { pitch: n.pitch, fret: n.fret, id: null };
  }
  const before = events[eventIndex - 1];
  if (before === undefined || endOf(before) !== event.onset) return null;
  const n = before.notes.find((x) => x.string === string);
  return n === undefined || n.kind === 'dead' ? null : { pitch: n.pitch, fret: n.fret, id: n.id };
}

/** The phrase with every note replaced by `change(note, where)`; untouched events keep their identity. */
export function mapNotes(p: Phrase, change: (at: NoteAt) => Note): Phrase {
  return mapEvents(p, (event, voice, eventIndex) =>
    mapEventNotes(event, (note, noteIndex) =>
      change({ note, event, voice, eventIndex, noteIndex, onset: event.onset }),
    ),
  );
}
