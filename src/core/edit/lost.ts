import { notesOf } from '../phrase/walk';
import { techniqueWord } from './mend';
import { done, type Outcome } from './outcome';
import type { EditState } from './state';

/** What a note carries that another technique may take the place of. */
const FIELDS = [
  'attack',
  'slideIn',
  'slideOut',
  'bend',
  'vibrato',
  'trill',
  'harmonic',
  'barDip',
  'letRing',
  'ghost',
] as const;
type Field = (typeof FIELDS)[number];

/**
 * The outcome with what a command took off notes beside what it was asked for, in the words that are
 * used for what gives way after an edit.
 * @param own what the command is about: that it goes is what was asked for.
 */
export function sayLost(before: EditState, outcome: Outcome, own?: Field): Outcome {
  if (outcome.kind === 'not applicable') return outcome;
  const now = new Map(notesOf(outcome.state.phrase).map(({ note }) => [note.id, note]));
  const lost = new Set<string>();
  for (const { note } of notesOf(before.phrase)) {
    const next = now.get(note.id);
    if (next === undefined || next === note) continue;
    for (const field of FIELDS) {
      if (field !== own && field in note && !(field in next)) lost.add(techniqueWord(field));
    }
  }
  if (lost.size === 0) return outcome;
  return done(outcome.state, `${outcome.say}; ${[...lost].join(', ')} taken off`);
}
