import { useEffect, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { PhraseEntry } from '../../storage/types';
import { useApp, useLibrary } from '../frame/app-context';

/** So many phrases are tried at a form: those changed last, where there are more. */
export const MOST_TRIED = 2_000;

export interface ForSolo {
  /** Null while they are being read. */
  readonly phrases: readonly Phrase[] | null;
  /** How many the library has, and how many of them are left out. */
  readonly of: number;
  readonly left: number;
}

/**
 * The phrases that a solo is made of, read for it.
 * @param held Ids of those that lie on its bars, divided by spaces: they are read however old they are.
 */
export function usePhrasesForSolo(held: string): ForSolo {
  const { store } = useApp();
  const { state, phrases: all } = useLibrary();
  const [read, setRead] = useState<{
    readonly of: readonly PhraseEntry[];
    readonly phrases: readonly Phrase[];
  } | null>(null);
  // Where all are read anyway, nothing is read again for what is put onto a bar.
  const besides = all.length > MOST_TRIED ? held : '';
  useEffect(() => {
    if (state !== 'ready') return;
    let wanted = true;
    const ids = tried(all, new Set(besides.split(' '))).map((p) => p.id);
    void store.loadAll(ids).then((loaded) => {
      if (wanted) setRead({ of: all, phrases: loaded.map((s) => s.phrase) });
    });
    return () => {
      wanted = false;
    };
  }, [store, state, all, besides]);
  const phrases = read !== null && read.of === all && all.length > 0 ? read.phrases : null;
  return { phrases, of: all.length, left: Math.max(0, all.length - MOST_TRIED) };
}

/** In the order of the library where all are tried; else what is held, and what was changed last. */
function tried(all: readonly PhraseEntry[], held: ReadonlySet<string>): readonly PhraseEntry[] {
  if (all.length <= MOST_TRIED) return all;
  const when = (p: PhraseEntry) => p.identity.modified;
  const last = [...all].sort((a, b) => (when(a) < when(b) ? 1 : -1));
  return last.filter((p, i) => i < MOST_TRIED || held.has(p.id));
}
