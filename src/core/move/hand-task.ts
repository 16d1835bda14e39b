import type { Limits } from '../neck/limits';
import { checkPlayable, type Violation } from '../neck/playable';
import { indexFingerFret } from '../neck/positions';
import type { NoteId, Phrase, PitchedNote } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import type { Mends } from './mend';
import { type NotePlan, shiftPlan } from './plan';

/** A phrase at new places, with what had to be changed for it. */
export interface Placed {
  readonly phrase: Phrase;
  readonly mends: Mends;
  /** Hard rules it breaks that the original did not break. */
  readonly broken: readonly Violation[];
  /** Frets the hand was shifted by to find room (M12 'area'), 0 for none. */
  readonly shifted: number;
  /** No window of frets held the phrase, so it was placed anywhere on the neck. */
  readonly wandered?: true;
}

/** What a hand is tried with: the phrase over its new chords, and the plans in their octaves. */
export interface HandTask {
  readonly source: Phrase;
  /** The new phrase but for its notes, which are still the old ones. */
  readonly frame: Phrase;
  readonly plans: ReadonlyMap<NoteId, NotePlan>;
  /** Violations the source has already; a move does not answer for them. */
  readonly known: ReadonlySet<string>;
  readonly indexFinger: number;
}

/** What the hand is to do with a moved phrase, with what was already broken before the move. */
export function handTask(source: Phrase, frame: Phrase, plans: readonly NotePlan[]): HandTask {
  return {
    source,
    frame,
    plans: new Map(plans.map((p) => [p.reading.note.id, p])),
    known: new Set(checkPlayable(source).map(keyOf)),
    indexFinger: indexFingerFret(source),
  };
}

/** Whole octaves by segment, on top of those that M7 chose; a segment that is not there moves by none. */
export type Octaves = readonly number[];

/** The task with its segments whole octaves higher or lower. */
export function shiftTask(t: HandTask, octaves: Octaves): HandTask {
  if (octaves.every((k) => k === 0)) return t;
  const plans = new Map(
    [...t.plans].map(([id, p]) => [
      id,
      p.segment === null ? p : shiftPlan(p, octaves[p.segment] ?? 0),
    ]),
  );
  return { ...t, plans };
}

/** The same rule broken by the same notes counts as the same fault. */
function keyOf(v: Violation): string {
  return `${v.rule}:${[...v.noteIds].sort().join(',')}`;
}

/** What cannot be played in a phrase and could be in the source of the move (N3). */
export function newlyBroken(t: HandTask, p: Phrase, limits: Limits): readonly Violation[] {
  const broken = checkPlayable(p, limits).filter((v) => !t.known.has(keyOf(v)));
  return [...broken, ...openHarmonics(p)];
}

/** An artificial or pinch harmonic needs a stopped string: over an open one it would be a natural one. */
function openHarmonics(p: Phrase): readonly Violation[] {
  return notesOf(p).flatMap(({ note, onset }): Violation[] => {
    if (note.kind === 'dead' || note.fret > 0 || !needsStop(note)) return [];
    const message = `a ${note.harmonic?.kind} harmonic needs a fretted note`;
    const { string, fret } = note;
    return [{ rule: 'harmonic-node', noteIds: [note.id], onset, message, string, fret }];
  });
}

/** Whether a note needs a fretted stop: a harmonic that is not one of the open string. */
export function needsStop(n: PitchedNote): boolean {
  return n.harmonic !== undefined && n.harmonic.kind !== 'natural';
}
