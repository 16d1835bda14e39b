import { handKeysOver, keepKeys, keysKept } from '../frame/keys-ahead';
import { typeNow } from '../frame/type-now';
import { noScoreAwaited } from '../score/first-score';

/** Milliseconds between two looks. */
const LOOK = 50;

/**
 * Goes to a field; one that still comes over the network is fetched now, and waited for with what is
 * typed for it. Whoever taps or goes elsewhere meanwhile is not called back.
 */
export function focusOnce(id: string): void {
  const field = document.getElementById(id);
  if (field !== null) {
    field.focus();
    return;
  }
  // It was to come behind the first music.
  noScoreAwaited();
  keepKeys();
  setTimeout(() => lookAgain(id), LOOK);
}

function lookAgain(id: string): void {
  if (!keysKept()) return;
  const field = document.getElementById(id);
  if (field === null) {
    setTimeout(() => lookAgain(id), LOOK);
    return;
  }
  field.focus();
  handKeysOver(typeNow);
}
