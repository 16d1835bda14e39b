import type { Phrase } from '../phrase/types';
import { mapNotes } from '../phrase/walk';
import type { Analysis } from '../understand/analyse';
import { chordSpans, readsAsAnticipation, spanAt } from '../understand/owner';
import type { LaneChange } from './lane';

/**
 * A note keeps belonging to the present or the next chord as it did (D2): where the rule would read
 * it otherwise over the new chords, what it was is written down; where the rule agrees, nothing is.
 */
export function setAnticipations(
  q: Phrase,
  before: Analysis,
  changes: readonly LaneChange[],
): Phrase {
  const spans = chordSpans(q);
  return mapNotes(q, ({ note, event, voice, eventIndex }) => {
    const was = before.byId.get(note.id);
    if (note.kind === 'dead' || was === undefined) return note;
    const here = spanAt(spans, event.onset);
    const next = here === null ? undefined : spans[here.index + 1];
    if (here === null || next === undefined) return note;
    // Without a change where the old one was there is nothing left to anticipate.
    const kept = was.anticipates && changes.some((c) => c.onset === was.owner?.onset);
    const after = q.voices[voice]?.events[eventIndex + 1];
    const is = note.anticipation ?? readsAsAnticipation(note, event, after, here, next);
    return is === kept ? note : { ...note, anticipation: kept };
  });
}
