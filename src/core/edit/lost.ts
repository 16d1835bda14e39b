import type { Phrase } from '../phrase/types';
import { notesOf } from '../phrase/walk';
import { techniqueWord } from '../validity/mend';
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

/** What a whole moment carries. */
const MOMENT_FIELDS = ['rake', 'strum', 'palmMute', 'staccato'] as const;

/** The techniques that notes had before an edit and have no more, as a player calls them, each once. */
export function lostTechniques(before: Phrase, after: Phrase, own?: Field): readonly string[] {
  const now = new Map(notesOf(after).map((at) => [at.note.id, at]));
  const lost = new Set<string>();
  for (const { note, event } of notesOf(before)) {
    const next = now.get(note.id);
    if (next === undefined) continue;
    for (const field of FIELDS) {
      if (field !== own && field in note && !(field in next.note)) lost.add(techniqueWord(field));
    }
    for (const field of MOMENT_FIELDS) {
      if (field in event && !(field in next.event)) lost.add(techniqueWord(field));
    }
  }
  return [...lost];
}

/**
 * The outcome with what a command took off notes beside what it was asked for, in the words that are
 * used for what gives way after an edit.
 * @param own what the command is about: that it goes is what was asked for.
 */
export function sayLost(before: EditState, outcome: Outcome, own?: Field): Outcome {
  if (outcome.kind === 'not applicable') return outcome;
  const lost = lostTechniques(before.phrase, outcome.state.phrase, own);
  if (lost.length === 0) return outcome;
  return done(outcome.state, `${outcome.say}; ${lost.join(', ')} taken off`);
}
