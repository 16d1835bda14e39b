import type { Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import type { NoteTechnique } from '../technique/fields';
import { momentTechniques, noteTechniques, techniqueOf } from '../technique/table';
import { done, type Outcome } from './outcome';
import type { EditState } from './state';

/** Techniques of which it is told when another takes their place. */
const OF_NOTES = noteTechniques((t) => t.told);
const OF_MOMENTS = momentTechniques((t) => t.told);

/** The techniques that notes had before an edit and have no more, as a player calls them, each once. */
export function lostTechniques(
  before: Phrase,
  after: Phrase,
  own?: NoteTechnique,
): readonly string[] {
  const now = new Map(notesOf(after).map((at) => [at.note.id, at]));
  const lost = new Set<string>();
  for (const { note, event } of notesOf(before)) {
    const next = now.get(note.id);
    if (next === undefined) continue;
    for (const field of OF_NOTES) {
      if (field !== own && field in note && !(field in next.note))
        lost.add(techniqueOf(field).word);
    }
    for (const field of OF_MOMENTS) {
      if (field in event && !(field in next.event)) lost.add(techniqueOf(field).word);
    }
  }
  return [...lost];
}

/**
 * The outcome with what a command took off notes beside what it was asked for, in the words that are
 * used for what gives way after an edit.
 * @param own what the command is about: that it goes is what was asked for.
 */
export function sayLost(before: EditState, outcome: Outcome, own?: NoteTechnique): Outcome {
  if (outcome.kind === 'not applicable') return outcome;
  const lost = lostTechniques(before.phrase, outcome.state.phrase, own);
  if (lost.length === 0) return outcome;
  return done(outcome.state, `${outcome.say}; ${lost.join(', ')} taken off`);
}
