import { useState } from 'react';
import type { CopyState, LibraryState, Mishap } from '../../storage/types';
import { useApp, useLibrary } from '../frame/app-context';
import { count, problemText } from '../shared/words';

/** What the reader must know about the library itself. */
export function StatusWords() {
  const { store } = useApp();
  const { state, reason, lasting, mishap, copy } = useLibrary();
  const [seen, setSeen] = useState<Mishap | null>(null);
  if (state === 'ready' && mishap !== null && mishap !== seen) {
    return (
      <div className="library-status" role="alert">
        <p>{mishapText(mishap)}</p>
        <button type="button" onClick={() => setSeen(mishap)}>
          I have seen it
        </button>
      </div>
    );
  }
  const words = state !== 'ready' ? WORDS[state] : lasting ? COPY[copy] : FLEETING;
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

function mishapText(mishap: Mishap): string {
  return mishap.kind === 'restored'
    ? `The browser had thrown the library away, as it may after a crash. ${count(mishap.phrases, 'phrase was', 'phrases were')} brought back from a second copy.`
    : 'The browser has thrown the library away, as it may after a crash, and there was no second copy. What you have exported can be opened again.';
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

const COPY: Readonly<Record<CopyState, Words | null>> = {
  none: null,
  whole: null,
  late: {
    what: 'The second copy of the library is behind.',
    more: 'The browser does not write it at the moment. What you save is kept in the library as always, and the copy is made as soon as it can be. Check that the device has room, and export a backup if this stays.',
    button: null,
  },
  missing: {
    what: 'The second copy of the library is kept by a newer version of Degreewise.',
    more: 'What you save from here is kept in the library, without a second copy.',
    button: 'reload',
  },
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
