import { byString } from '../phrase/rebuild';
import type { Note, PhraseEvent, PitchedNote } from '../phrase/types';
import { withEvents } from '../phrase/voices';
import { cannot, done, type Outcome } from './outcome';
import { sameData } from './same';
import { type Chosen, chosenEvents, chosenNotes } from './select';
import type { EditState } from './state';

/** A note as it should become, or why it cannot. */
export type Changed<T> = T | string;

/**
 * Changes every chosen note with pitch. All or nothing: where one of them cannot take the change,
 * its reason is the answer, so that a double stop is never left half done. Dead notes have nothing
 * to change and stay.
 * @param already The answer where every note is so already.
 */
export function changePitched(
  s: EditState,
  change: (note: PitchedNote, at: Chosen) => Changed<Note>,
  say: string,
  already = SO_ALREADY,
): Outcome {
  const chosen = chosenNotes(s);
  if (chosen.length === 0) return cannot('no note is chosen');
  const next = new Map<string, Note>();
  const dead = chosen.filter((c) => c.note.kind === 'dead').length;
  for (const at of chosen) {
    if (at.note.kind === 'dead') continue;
    const changed = change(at.note, at);
    if (typeof changed === 'string') return cannot(changed);
    if (!sameData(changed, at.note)) next.set(at.note.id, changed);
  }
  if (dead === chosen.length) return cannot('a dead note has no pitch');
  if (next.size === 0) return cannot(already);
  return done(withNotes(s, next), say + deadWords(dead));
}

/** What to add to a command's words where dead notes were chosen with others. */
export function deadWords(count: number): string {
  if (count === 0) return '';
  return count === 1 ? '; a dead note stays as it is' : `; ${count} dead notes stay as they are`;
}

/** The chosen notes with pitch. */
export function chosenPitched(s: EditState): readonly PitchedNote[] {
  return chosenNotes(s).flatMap(({ note }) => (note.kind === 'pitched' ? [note] : []));
}

/**
 * Whether every chosen note with pitch has something: what switches goes on for all of them, and
 * off only where all have it.
 */
export function allPitched(s: EditState, has: (n: PitchedNote) => boolean): boolean {
  const notes = chosenPitched(s);
  return notes.length > 0 && notes.every(has);
}

/** The state with notes replaced by their ids; untouched events keep their identity. */
export function withNotes(s: EditState, next: ReadonlyMap<string, Note>): EditState {
  const phrase = withEvents(s.phrase, s.selection.voice, (events) =>
    events.map((e) =>
      e.notes.some((n) => next.has(n.id))
        ? { ...e, notes: byString(e.notes.map((n) => next.get(n.id) ?? n)) }
        : e,
    ),
  );
  return { ...s, phrase };
}

/** The answer of a command that would change nothing and has no better word for it. */
const SO_ALREADY = 'it is so already';

/** Changes every event of which a note is chosen; all or nothing. */
export function changeEvents(
  s: EditState,
  change: (event: PhraseEvent, index: number) => Changed<PhraseEvent>,
  say: string,
  already = SO_ALREADY,
): Outcome {
  const chosen = chosenEvents(s);
  if (chosen.length === 0) return cannot('no note is chosen');
  const next = new Map<number, PhraseEvent>();
  for (const [nth, { event, index }] of chosen.entries()) {
    const changed = change(event, nth);
    if (typeof changed === 'string') return cannot(changed);
    if (!sameData(changed, event)) next.set(index, changed);
  }
  if (next.size === 0) return cannot(already);
  const phrase = withEvents(s.phrase, s.selection.voice, (events) =>
    events.map((e, i) => next.get(i) ?? e),
  );
  return done({ ...s, phrase }, say);
}

/** The first chosen note with pitch: what a key that goes through several forms starts from. */
export function firstPitched(s: EditState): PitchedNote | null {
  for (const { note } of chosenNotes(s)) if (note.kind === 'pitched') return note;
  return null;
}

/** One thing of every chosen note with pitch, in their order. */
export function ofPitched<T>(s: EditState, get: (n: PitchedNote) => T): readonly T[] {
  return chosenNotes(s).flatMap(({ note }) => (note.kind === 'pitched' ? [get(note)] : []));
}

/** An object with a field set, or without it where the value is undefined: absent is the default. */
export function withField<T extends object, K extends keyof T>(
  x: T,
  field: K,
  value: T[K] | undefined,
): T {
  if (value !== undefined) return { ...x, [field]: value };
  const { [field]: _, ...rest } = x;
  return rest as T;
}

/** The entry after the present one in a round. */
export function nextOf<T>(round: readonly T[], now: T): T {
  return round[(round.indexOf(now) + 1) % round.length]!;
}
