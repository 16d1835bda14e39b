import { mendAfter } from '../validity/mend';
import { nextOf } from './change';
import type { Outcome } from './outcome';
import type { EditState } from './state';

/**
 * What a key that goes through forms does: the next one after the present form that can be played.
 * Where none can be, the answer is why the first of them cannot.
 * @param round every form once, the one without anything included.
 * @param give gives all chosen notes a form.
 */
export function nextPlayable<T>(
  s: EditState,
  round: readonly T[],
  now: T,
  give: (form: T) => Outcome,
): Outcome {
  let form = nextOf(round, now);
  const first = give(form);
  let outcome = first;
  for (let i = 1; i <= round.length; i++) {
    if (outcome.kind === 'done' && mendAfter(s.phrase, outcome.state.phrase).ok) return outcome;
    form = nextOf(round, form);
    outcome = give(form);
  }
  // A form that only the rules of the phrase forbid is refused by them, with their reason.
  return first;
}
