import { noScoreAwaited } from '../score/first-score';

/** Milliseconds between two looks, and after which it is given up. */
const LOOK = 50;
const MOST_WAIT = 10_000;

/** Goes to a field; one that still comes over the network is fetched now, and waited for. */
export function focusOnce(id: string, waited = 0): void {
  const field = document.getElementById(id);
  if (field !== null) {
    field.focus();
    return;
  }
  // It was to come behind the first music.
  noScoreAwaited();
  if (waited < MOST_WAIT) setTimeout(() => focusOnce(id, waited + LOOK), LOOK);
}
