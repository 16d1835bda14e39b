import type { Violation } from '../neck/playable';
import { openMidi, playableFrets } from '../phrase/instrument';
import { placeWords } from '../phrase/time-words';
import type { NoteId, Phrase, PitchedNote } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import type { NoteTechnique } from '../technique/fields';
import type { HardRule } from '../technique/hard-rule';
import { curesOf, techniqueOf } from '../technique/table';
import { midiOf, type Pitch } from '../theory/pitch';
import { tryRelaxed } from './hand-area';
import type { HandTask, Placed } from './hand-task';
import { nameOfPitch } from './naming';
import type { HandWay, Obstacle } from './request';

/**
 * What stands in the way of a place that was wished: which note, with which technique, by which rule.
 * @param placed What trying it came to; null where a note has no place at all.
 */
export function obstaclesOf(
  t: HandTask,
  hand: HandWay,
  placed: Placed | null,
): readonly Obstacle[] {
  if (placed !== null) return once(placed.broken.map((v) => ofViolation(placed.phrase, v)));
  const off = hand === 'shape' ? offTheStrings(t) : offTheNeck(t);
  if (off.length > 0) return off;
  const relaxed = tryRelaxed(t);
  if (relaxed !== null && relaxed.broken.length > 0) {
    return once(relaxed.broken.map((v) => ofViolation(relaxed.phrase, v)));
  }
  const text =
    hand === 'strings'
      ? 'there are no neighbouring strings on which the shape fits'
      : 'no hand can take together what sounds together there';
  return [{ rule: 'reach', ids: [], technique: null, text }];
}

function ofViolation(p: Phrase, v: Violation): Obstacle {
  const found = notesOf(p).find(({ note }) => v.noteIds.includes(note.id));
  const note = found?.note.kind === 'pitched' ? found.note : null;
  const technique = note === null ? null : cureFor(note, v.rule);
  const name = note === null ? 'a note' : nameOfPitch(note.pitch);
  const how = technique === null ? '' : ` with its ${techniqueOf(technique).word}`;
  const text = `${name}${how} (${placeWords(p, found?.onset ?? v.onset)}) would lie on string ${v.string}, fret ${v.fret}: ${v.message}`;
  return { rule: v.rule, ids: v.noteIds, technique, text };
}

/** The technique of a note without which it would not break a rule. */
function cureFor(note: PitchedNote, rule: HardRule): NoteTechnique | null {
  return curesOf(rule).find((f) => f in note) ?? null;
}

/** Notes whose own string does not have their pitch. */
function offTheStrings(t: HandTask): readonly Obstacle[] {
  return eachNote(t, (note, pitch, at) => {
    if (note.harmonic?.kind === 'natural') return null;
    const why = offString(t.frame, pitch, note.string);
    return why === null ? null : `${nameOfPitch(pitch)} (${at}) ${why}`;
  });
}

/** Why a string does not have a pitch, in words that follow its name; null where it does. */
export function offString(p: Phrase, pitch: Pitch, string: number): string | null {
  const { instrument } = p;
  if (string > instrument.tuning.length) return `has no string ${string} to lie on`;
  const fret = midiOf(pitch) - openMidi(instrument, string);
  if (fret < 0) return `lies below the open string ${string}`;
  return fret > playableFrets(instrument) ? `lies above the last fret of string ${string}` : null;
}

/** Notes that no string has. */
function offTheNeck(t: HandTask): readonly Obstacle[] {
  const { instrument } = t.frame;
  return eachNote(t, (note, pitch, at) => {
    if (note.harmonic !== undefined) return null;
    const off = note.pinned === true ? offString(t.frame, pitch, note.string) : null;
    if (off !== null) return `${nameOfPitch(pitch)} (${at}) ${off}, to which it is pinned`;
    const frets = instrument.tuning.map((_, i) => midiOf(pitch) - openMidi(instrument, i + 1));
    if (frets.some((f) => f >= 0 && f <= playableFrets(instrument))) return null;
    const end = frets.every((f) => f < 0) ? 'lowest open string' : 'last fret';
    return `${nameOfPitch(pitch)} (${at}) lies ${end === 'last fret' ? 'above' : 'below'} the ${end}`;
  });
}

function eachNote(
  t: HandTask,
  why: (note: PitchedNote, pitch: Pitch, at: string) => string | null,
): readonly Obstacle[] {
  return notesOf(t.frame).flatMap(({ note, onset }): Obstacle[] => {
    const plan = note.kind === 'dead' ? undefined : t.plans.get(note.id);
    if (note.kind === 'dead' || plan === undefined) return [];
    const text = why(note, plan.start, placeWords(t.frame, onset));
    return text === null ? [] : [{ rule: 'off-the-neck', ids: [note.id], technique: null, text }];
  });
}

function once(list: readonly Obstacle[]): readonly Obstacle[] {
  return list.filter((o, i) => list.findIndex((x) => x.text === o.text) === i);
}

/** The first obstacle in words, and how many more there are; they follow 'since'. */
export function inShort(obstacles: readonly Obstacle[]): string {
  const [first, ...more] = obstacles;
  if (first === undefined) return 'no hand can play it there';
  const notes = new Set(more.flatMap((o) => o.ids).filter((id) => !first.ids.includes(id)));
  if (notes.size === 0) return first.text;
  const others = notes.size === 1 ? '1 more note is' : `${notes.size} more notes are`;
  return `${first.text}; ${others} in the way as well`;
}

/** Ids of all notes that are in the way. */
export function idsOf(obstacles: readonly Obstacle[]): ReadonlySet<NoteId> {
  return new Set(obstacles.flatMap((o) => o.ids));
}
