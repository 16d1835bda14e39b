import type { DeadNote, GraceNote, PhraseEvent, PitchedNote } from '../phrase/types';

/**
 * Fields of notes and moments that are no techniques: who, where and when they are, and what the user
 * says a note means. Every other field is a technique, and has to have a row in `TECHNIQUES`.
 */
const NO_TECHNIQUE = {
  // Who and where a note is.
  id: true,
  kind: true,
  pitch: true,
  string: true,
  fret: true,
  // What it means.
  anchor: true,
  role: true,
  anticipation: true,
  pinned: true,
  // When a moment is, and what is struck.
  onset: true,
  duration: true,
  notes: true,
  guessed: true,
} as const satisfies Partial<Record<keyof PitchedNote | keyof DeadNote | keyof PhraseEvent, true>>;

type Plain = keyof typeof NO_TECHNIQUE;

/** Techniques of a note with pitch. */
export type PitchedTechnique = Exclude<keyof PitchedNote, Plain>;

/** Techniques of a dead note. */
export type DeadTechnique = Exclude<keyof DeadNote, Plain>;

/** Techniques of everything that is struck at one moment. */
export type MomentTechnique = Exclude<keyof PhraseEvent, Plain>;

export type NoteTechnique = PitchedTechnique | DeadTechnique;

/** Every technique there is, as the field that holds it: a new field belongs to it by itself. */
export type TechniqueField = NoteTechnique | MomentTechnique;

/** A grace note is held with its moment, and has no technique that a note with pitch has not. */
export type GraceTechnique = Exclude<keyof GraceNote, Plain> & PitchedTechnique;

/** Does not compile where a grace note has a field of its own that no table knows. */
type Unknown = Exclude<keyof GraceNote, Plain | PitchedTechnique>;
true satisfies Unknown extends never ? true : false;
