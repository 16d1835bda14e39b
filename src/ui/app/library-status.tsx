import type { LibraryState } from '../../storage/types';
import { problemText } from '../shared/words';
import { useApp, useLibrary } from './app-context';

/** What the reader must know about the library itself; nothing while all is well. */
export function LibraryStatus() {
  const { store } = useApp();
  const { state, reason, lasting } = useLibrary();
  if (state === 'ready' && lasting) return null;
  const words = state === 'ready' ? FLEETING : WORDS[state];
  if (words === null) return null;
  return (
    <div className="library-status" role="alert">
      <p>
        <strong>{words.what}</strong> {words.more}
      </p>
      {reason !== null && <p className="quiet">{problemText(reason)}</p>}
      {words.button === 'again' && (
        <button type="button" onClick={() => void store.reopen()}>
          Try again
        </button>
      )}
      {words.button === 'reload' && (
        <button type="button" onClick={() => window.location.reload()}>
          Load this page again
        </button>
      )}
    </div>
  );
}

interface Words {
  readonly what: string;
  readonly more: string;
  readonly button: 'again' | 'reload' | null;
}

const FLEETING: Words = {
  what: 'This browser keeps nothing.',
  more: 'You can work as usual, but the library is gone when this window closes, as in a private window. Export what you want to keep.',
  button: null,
};

const WORDS: Readonly<Record<Exclude<LibraryState, 'ready'>, Words | null>> = {
  opening: null,
  blocked: {
    what: 'An older window holds the library.',
    more: 'Close the other windows of Degreewise; this one goes on by itself.',
    button: null,
  },
  outdated: {
    what: 'A newer version of Degreewise has opened the library in another window.',
    more: 'Nothing more is written from here, so that the two do not get in each other’s way.',
    button: 'reload',
  },
  unavailable: {
    what: 'The library cannot be kept in this browser.',
    more: 'It may be a private window, or storage is switched off for this address.',
    button: 'again',
  },
  failed: {
    what: 'The library could not be opened.',
    more: 'What is in it was not touched.',
    button: 'again',
  },
  closed: {
    what: 'The library has been closed.',
    more: 'Load the page again to go on.',
    button: 'reload',
  },
};
