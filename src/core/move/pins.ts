import type { Note, NoteId } from '../phrase/types';
import { mapNotes, notesOf } from '../phrase/walk';
import type { HandTask } from './hand-task';
import { nameOfPitch } from './naming';
import { offString } from './obstacles';
import { adapted } from './plan';
import type { Adaptation } from './request';

/** A task without some of its pins, and what to say of each. */
export interface Released {
  readonly task: HandTask;
  readonly released: ReadonlyMap<NoteId, readonly Adaptation[]>;
}

/** Why pins cannot hold: their strings do not have the pitch (M12). By note id, in words. */
export function impossiblePins(t: HandTask): ReadonlyMap<NoteId, string> {
  const found = new Map<NoteId, string>();
  for (const note of pinned(t)) {
    const plan = note.kind === 'dead' ? undefined : t.plans.get(note.id);
    if (note.kind === 'dead' || plan === undefined || note.harmonic !== undefined) continue;
    const why = offString(t.frame, plan.start, note.string);
    if (why !== null) found.set(note.id, `${nameOfPitch(plan.start)} ${why}`);
  }
  return found;
}

/** The notes that the person has fixed to their places on the neck (M12). */
export function pinned(t: HandTask): readonly Note[] {
  return notesOf(t.frame)
    .map(({ note }) => note)
    .filter((n) => n.kind === 'pitched' && n.pinned === true);
}

/** The task without the pins that are named. */
export function release(t: HandTask, why: ReadonlyMap<NoteId, string>): Released {
  const released = new Map<NoteId, readonly Adaptation[]>();
  const frame = mapNotes(t.frame, ({ note }) => {
    const reason = why.get(note.id);
    if (note.kind === 'dead' || reason === undefined) return note;
    const text = `the pin to string ${note.string} was released: ${reason}`;
    released.set(note.id, [adapted('M12', text, true)]);
    const { pinned: _, ...free } = note;
    return free;
  });
  return { task: { ...t, frame }, released };
}
