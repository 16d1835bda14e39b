import { type HandAt, handPath } from '../neck/positions';
import type { NoteId, Phrase, Ticks } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { adapted } from './plan';
import type { Adaptation } from './request';

/** Frets that a hand goes without it being called a jump (M7). */
const NO_JUMP = 5;

/**
 * Jumps of the hand of more than five frets that the original did not have (M7), by the first note
 * behind each.
 * @param before The original at the beats it has now.
 */
export function newJumps(before: Phrase, after: Phrase): ReadonlyMap<NoteId, Adaptation[]> {
  const found = new Map<NoteId, Adaptation[]>();
  const had = jumpsOf(handPath(before));
  for (const [onset, by] of jumpsOf(handPath(after))) {
    if (Math.abs(by) <= NO_JUMP || Math.abs(had.get(onset) ?? 0) > NO_JUMP) continue;
    const first = notesOf(after).find((n) => n.onset === onset && n.note.kind === 'pitched');
    if (first === undefined) continue;
    const where = by > 0 ? 'up' : 'down';
    const text = `the hand jumps ${Math.abs(by)} frets ${where} the neck here, as it did not before`;
    found.set(first.note.id, [adapted('M7', text, false)]);
  }
  return found;
}

/** How far the hand goes to each moment from the one before. */
function jumpsOf(path: readonly HandAt[]): ReadonlyMap<Ticks, number> {
  return new Map(path.slice(1).map((h, i) => [h.onset, h.fret - path[i]!.fret]));
}
