import { proposeFingers } from '../../neck/fingers';
import { problemOf } from '../../neck/problem-of';
import { findFingerings } from '../../neck/solve';
import type { NoteId, Phrase, PhraseEvent } from '../../phrase/types';
import { changePitched } from '../change';
import { defineCommand } from '../command';
import { cannot, done } from '../outcome';

/**
 * Fingers for the chosen notes as the hand lies on its cheapest way through the phrase: the index
 * finger at the hand's fret, one finger a fret (*common practice*). What somebody named stays, and
 * where it says otherwise than the proposal its whole moment is left to them.
 */
export const nameFingers = defineCommand<undefined>({
  id: 'hand.fingers-propose',
  group: 'Left hand',
  title: 'Propose fingers where none are named',
  words: 'fingering finger numbers suggest automatic position',
  ask: { kind: 'nothing' },
  apply: (s) => {
    const proposed = proposalsFor(s.phrase);
    const kept = new Set<NoteId>();
    let named = 0;
    const outcome = changePitched(
      s,
      (n, { event }) => {
        if (proposed === null) return 'no hand can hold it where it lies';
        const finger = proposed.get(n.id);
        if (finger === undefined || n.finger !== undefined) return n;
        if (isNamedOtherwise(event, proposed)) {
          kept.add(n.id);
          return n;
        }
        named++;
        return { ...n, finger };
      },
      'fingers proposed',
      'no finger is left to be named',
    );
    if (outcome.kind === 'not applicable') {
      return kept.size === 0
        ? outcome
        : cannot('what is struck with it has a finger named otherwise');
    }
    const words = named === 1 ? 'a finger proposed' : `fingers proposed for ${named} notes`;
    const rest = kept.size === 0 ? '' : '; left alone where a finger is named otherwise';
    return done(outcome.state, outcome.say.replace('fingers proposed', words) + rest);
  },
});

/** Fingers by note for the places that a phrase has; null where they cannot be played. */
function proposalsFor(p: Phrase): ReadonlyMap<NoteId, 1 | 2 | 3 | 4> | null {
  const problem = problemOf(p, { keepPlaces: true });
  const fingering = findFingerings(problem)[0];
  return fingering === undefined ? null : proposeFingers(problem, fingering);
}

function isNamedOtherwise(
  event: PhraseEvent,
  proposed: ReadonlyMap<NoteId, 1 | 2 | 3 | 4>,
): boolean {
  return event.notes.some(
    (n) =>
      n.kind === 'pitched' &&
      n.finger !== undefined &&
      n.finger !== 'T' &&
      n.finger !== proposed.get(n.id),
  );
}
