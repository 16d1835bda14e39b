import type { GraceNote, Instrument, Note, PhraseEvent } from '../../../core/phrase/types';
import type { Pitch } from '../../../core/theory/pitch';
import type { SpanCover } from './directions';
import type { ExtrasFinder } from './extras';
import type { ImportLog } from './log';
import type { IdSource } from './note-ids';
import type { Speller } from './spelling';

/** What all notes of a part are built with. */
export interface NoteContext {
  readonly instrument: Instrument;
  readonly speller: Speller;
  readonly finder: ExtrasFinder;
  /** Whether the file was written by us: then a grace with a slide may be just that. */
  readonly own: boolean;
  /** Whether any note of the file has string and fret. */
  readonly hasTab: boolean;
  /** Whether the part is written transposed. */
  readonly transposed: boolean;
  /** Octaves to take off every pitch; see `octavesAboveFrets`. */
  readonly octavesDown: number;
  /** Stretches under 'P.M.' and 'let ring' in a file whose notes do not say so themselves. */
  readonly muted: SpanCover;
  readonly ringing: SpanCover;
  readonly ids: IdSource;
  readonly log: ImportLog;
}

/** A note of an event that may have no place yet. */
export interface BuiltNote {
  readonly note: Note;
  /** False where string and fret are still to be chosen; those of the note are then placeholders. */
  readonly placed: boolean;
  /** What each string costs it, from the first on, where something tells of its string; see `FingerNote`. */
  readonly stringCosts?: readonly number[];
  /** A dead note whose pitch must tell where the hand is. */
  readonly deadPitch: Pitch | null;
  /** Our own entry says that the event's length was guessed. */
  readonly guessed: boolean;
}

export interface BuiltGrace {
  readonly note: GraceNote;
  readonly placed: boolean;
}

/** An event with its notes by string where placed, else by pitch from the top. */
export interface BuiltEvent {
  readonly event: Omit<PhraseEvent, 'notes' | 'graces'>;
  readonly notes: readonly BuiltNote[];
  readonly graces: readonly (readonly BuiltGrace[])[];
}

/** A pitch of the file as it is read: some are written whole octaves from what is meant. */
export function pitchOf(raw: Pitch, c: Pick<NoteContext, 'octavesDown'>): Pitch {
  return c.octavesDown === 0 ? raw : { ...raw, octave: raw.octave - c.octavesDown };
}
