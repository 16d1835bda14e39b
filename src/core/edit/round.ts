import { mendAfter } from '../validity/mend';
import { nextOf } from './change';
import type { Outcome } from './outcome';
import type { EditState } from './state';

/**
 * What a key that goes through forms does: the next one after the present form that can be played.
 * Notes of different forms first become alike, in the form that one of them has. Where none can be
 * played, the answer is why the first of them cannot.
 * @param round every form once, the one without anything first.
 * @param now the forms of the chosen notes.
 * @param give gives all chosen notes a form.
 */
export function nextPlayable<T>(
  s: EditState,
  round: readonly T[],
  now: readonly T[],
  give: (form: T) => Outcome,
): Outcome {
  let form = firstAsked(round, now);
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

/** The next form of notes that are alike; of others the first form that one of them has. */
function firstAsked<T>(round: readonly T[], now: readonly T[]): T {
  const none = round[0]!;
  const first = now[0] ?? none;
  if (now.every((form) => form === first)) return nextOf(round, first);
  return now.find((form) => form !== none && round.includes(form)) ?? nextOf(round, first);
}
