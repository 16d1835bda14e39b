import { FIRST_HAND } from '../neck/handy-place';
import type { NoteValue } from '../phrase/note-value';
import type { TupletRatio } from '../phrase/tuplet-ratio';
import type { NoteId, Phrase, Pitch, Ticks } from '../phrase/types';

/** A place of the tablature: a string at a moment. String 1 is the first string. */
export interface Cell {
  /** Ticks from the phrase's first tick; the phrase's length stands for 'after the end'. */
  readonly onset: Ticks;
  readonly string: number;
}

/** Where the writer is in the phrase, and what is chosen. */
export interface Selection {
  readonly voice: 0 | 1;
  /** Where the cursor stands. */
  readonly cursor: Cell;
  /**
   * The corner opposite the cursor of a chosen block of moments and strings, both included; null
   * where only the cursor's own cell is meant.
   */
  readonly corner: Cell | null;
  /**
   * What was just written, until the cursor is moved: techniques and lengths go to these notes even
   * where writing has already gone on to the next moment.
   */
  readonly fresh: readonly NoteId[];
  /** Digits typed into this cell so far, so that a second one extends the first. */
  readonly typed: string;
}

/**
 * How a digit is read:
 * - `fret`: the number of the fret;
 * - `degree`: a degree against the chord there; octave and string are chosen;
 * - `finger`: a finger of the hand where it lies, 1 for the index finger's fret.
 */
export type Reading = 'fret' | 'degree' | 'finger';

export const READINGS: readonly Reading[] = ['fret', 'degree', 'finger'];

/** What the next note gets. */
export interface Pen {
  readonly value: NoteValue;
  readonly dots: 0 | 1;
  /** Notes are written as parts of such tuplets; null for plain values. */
  readonly tuplet: TupletRatio | null;
  readonly reading: Reading;
  /** Fret under the index finger, from 1; counts from the capo (N2). */
  readonly hand: number;
  /** An accidental typed before a degree, in semitones. */
  readonly alter: -2 | -1 | 0 | 1 | 2;
  /** What becomes of later notes when something is written into or taken from the time before them. */
  readonly flow: Flow;
}

/** `over`: they stay, and what is written takes their place; `push`: they move along. */
export type Flow = 'over' | 'push';

/** Everything a command looks at and answers with: plain data. */
export interface EditState {
  readonly phrase: Phrase;
  readonly selection: Selection;
  readonly pen: Pen;
  /** What notes were called before they were moved by frets, so that the way back finds the names. */
  readonly names?: Names;
}

/** Spellings by note, part of the note and sound, as `shift.ts` writes the keys. */
export type Names = Readonly<Record<string, Pitch>>;

export const FIRST_PEN: Pen = {
  value: 'eighth',
  dots: 0,
  tuplet: null,
  reading: 'fret',
  hand: FIRST_HAND,
  alter: 0,
  flow: 'over',
};

/** The writer at the beginning of a phrase, on the third string. */
export function startEditing(phrase: Phrase, pen: Pen = FIRST_PEN): EditState {
  const string = Math.min(3, phrase.instrument.tuning.length);
  return { phrase, pen, selection: cursorAt(0, { onset: 0, string }) };
}

/** A selection of one cell, nothing fresh. */
export function cursorAt(voice: 0 | 1, cursor: Cell): Selection {
  return { voice, cursor, corner: null, fresh: [], typed: '' };
}
