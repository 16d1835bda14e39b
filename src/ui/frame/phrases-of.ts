import { useEffect, useMemo, useState, useSyncExternalStore } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { LibraryStore } from '../../storage/types';
import { useApp } from './app-context';

/** Phrases by their ids, in the order given and without those that are not there. */
export async function phrasesOf(
  store: LibraryStore,
  ids: readonly string[],
): Promise<readonly Phrase[]> {
  return (await store.loadAll(ids)).map((s) => s.phrase);
}

/** Phrases by their ids. */
export interface PhrasesRead {
  /** In the order asked for; null until they have been read. */
  readonly phrases: readonly Phrase[] | null;
  /** Ids of those that the library does not have. */
  readonly gone: readonly string[];
}

/** The phrases with these ids as they are; read again when one of them changes. */
export function usePhrasesOf(ids: readonly string[]): PhrasesRead {
  const { store } = useApp();
  const snapshot = useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => store.snapshot().phrases,
  );
  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at again when the library changes.
  const gone = useMemo(() => ids.filter((id) => store.phrase(id) === null), [ids, store, snapshot]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at again when the library changes.
  const states = useMemo(
    () => ids.map((id) => `${id} ${store.phrase(id)?.revision ?? 0}`).join('\n'),
    [ids, store, snapshot],
  );
  const [read, setRead] = useState<readonly Phrase[] | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: read again when one of them changes.
  useEffect(() => {
    let shown = true;
    void phrasesOf(store, ids).then((phrases) => {
      if (shown) setRead(phrases);
    });
    return () => {
      shown = false;
    };
  }, [store, states]);
  return { phrases: read, gone };
}
