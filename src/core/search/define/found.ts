import type { Around } from '../../library/around';
import type { NoteId, Phrase } from '../../phrase/types';
import type { LineEvent, LineNote } from './line';

/** Whether a phrase is what was looked for, and the notes that made it so. */
export interface Found {
  readonly holds: boolean;
  /** To be marked where the phrase is drawn; none where no note decides. */
  readonly notes: ReadonlySet<NoteId>;
}

/** What a definition is given: the phrase, its voices as lines, and what is known of it besides. */
export interface Subject {
  readonly phrase: Phrase;
  readonly lines: readonly (readonly LineEvent[])[];
  readonly around: Around;
}

const NO_NOTES: ReadonlySet<NoteId> = new Set();

/** Whether a phrase answers a question, and by which notes; none where it does not. */
export function found(holds: boolean, notes: Iterable<NoteId> = NO_NOTES): Found {
  return { holds, notes: holds ? new Set(notes) : NO_NOTES };
}

/** The notes of which something holds; the phrase holds where there is one. */
export function byNotes(s: Subject, holds: (n: LineNote) => boolean): Found {
  const notes = s.lines.flatMap((line) => line.flatMap((e) => e.notes.filter(holds)));
  return found(
    notes.length > 0,
    notes.map((n) => n.note.id),
  );
}
