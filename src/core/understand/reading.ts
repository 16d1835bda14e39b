import type { Anchor, NoteId, PitchedNote, Role } from '../phrase/types';
import type { NoteAt } from '../phrase/walk';
import type { Degree } from '../theory/degree';
import type { Pitch } from '../theory/pitch';
import type { ChordSpan } from './owner';

/** What a pitch is: against the note's chord and against the key (D1). Null where there is no chord. */
export interface PitchReading {
  readonly pitch: Pitch;
  readonly chordDegree: Degree | null;
  readonly keyDegree: Degree;
}

/** Everything the program says about one note with pitch. */
export interface NoteReading {
  readonly at: NoteAt;
  readonly note: PitchedNote;
  /** Null without a lane; its chord is null under N.C. (D2). */
  readonly owner: ChordSpan | null;
  readonly anticipates: boolean;
  /** The fretted start. */
  readonly start: PitchReading;
  /** The target of a bend (D5), the note itself otherwise: what a listener takes the note for. */
  readonly heard: PitchReading;
  /** Degree against the chord that comes in while the note still sounds, where there is one (D2). */
  readonly laterDegree: Degree | null;
  /** Null where there is no chord and the user has not said. */
  readonly role: Role | null;
  /** The note a chromatic note leads to (D4). */
  readonly goal: NoteId | null;
  readonly anchor: Anchor;
  /** Whether the anchor is the user's or the program's (M5). */
  readonly anchorBy: 'user' | 'rule';
  /** An open string under two or more onsets of the other voice (M5). */
  readonly drone: boolean;
}
