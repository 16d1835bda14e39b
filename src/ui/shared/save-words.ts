import type { Conflict, Refusal } from '../../storage/types';
import { problemText } from './words';

/** Why nothing was written, and what to do, one sentence a line. */
export function refusalInWords(r: Refusal | { kind: 'conflict'; conflict: Conflict }): string[] {
  switch (r.kind) {
    case 'quota':
      return [
        'The device has no room left for this library.',
        'Remove something from the device, or save what you would lose to a file.',
      ];
    case 'not ready':
      return [NOT_READY[r.state]];
    case 'invalid':
      return r.problems.map(problemText);
    case 'failed':
      return [problemText(r.problem)];
    case 'conflict':
      return [conflictInWords(r.conflict)];
  }
}

const NOT_READY: Readonly<Record<Extract<Refusal, { kind: 'not ready' }>['state'], string>> = {
  opening: 'The library is still being opened. Try again in a moment.',
  blocked:
    'An older window holds the library. Close the other windows of this app, then try again.',
  outdated: 'A newer version of the app has opened the library. Load this page again.',
  unavailable: 'This browser keeps nothing, as in a private window. Export the phrase to a file.',
  failed: 'The library could not be opened. Load this page again.',
  closed: 'The library has been closed. Load this page again.',
};

function conflictInWords(c: Conflict): string {
  switch (c.kind) {
    case 'changed':
      return 'The phrase was changed in another window in the meantime. Look at it as it is now, then do it again.';
    case 'removed':
    case 'missing':
      return 'The phrase was removed in another window. Keep yours as a new phrase instead.';
    case 'damaged':
      return 'What is stored under this phrase cannot be read. Keep yours as a new phrase instead.';
  }
}
