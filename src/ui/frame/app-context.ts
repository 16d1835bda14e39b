import { createContext, use, useEffect, useState, useSyncExternalStore } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { SaveQueue } from '../../storage/edit-types';
import type { HistoryStore } from '../../storage/history-store';
import type { LibrarySnapshot, LibraryStore, PhraseEntry } from '../../storage/types';
import type { Action, ActionTable } from './actions';
import type { FirstStart } from './first-start';
import type { Importer } from './importer';
import type { Notices } from './notices';

/** Everything that pages share, made once where the app starts. */
export interface App {
  readonly store: LibraryStore;
  readonly queue: SaveQueue;
  /** Where what was done outlives the window; null where nothing does. */
  readonly histories: HistoryStore | null;
  readonly notices: Notices;
  readonly actions: ActionTable;
  readonly importer: Importer<File>;
  readonly firstStart: FirstStart;
  /** A new id for a phrase. */
  readonly newId: () => string;
  /** ISO 8601 in UTC. */
  readonly now: () => string;
}

export const AppContext = createContext<App | null>(null);

/** @throws outside of the app (programmer's error). */
export function useApp(): App {
  const app = use(AppContext);
  if (app === null) throw new Error('no app around this component');
  return app;
}

/** All that is known of the library; draws again when it changes. */
export function useLibrary(): LibrarySnapshot {
  const { store } = useApp();
  return useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => store.snapshot(),
  );
}

/** What is known of the phrase with an id, or null where the library has none. */
export function usePhrase(id: string): PhraseEntry | null {
  const { store } = useApp();
  return useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => store.phrase(id),
  );
}

/** A phrase as it is kept: read when it is first shown. Null until then, and where there is none. */
export function useLoaded(entry: PhraseEntry | null): Phrase | null {
  const { store } = useApp();
  const [loaded, setLoaded] = useState<{ of: PhraseEntry; phrase: Phrase } | null>(null);
  // The page that shows it keeps it at hand.
  const here = loaded !== null && loaded.of === entry ? loaded.phrase : (entry?.peek() ?? null);
  useEffect(() => {
    if (entry === null) return;
    let shown = true;
    const at = entry.peek();
    if (at !== null) setLoaded({ of: entry, phrase: at });
    else
      void store.load(entry.id).then((found) => {
        // What has become another meanwhile comes with an entry of its own.
        if (shown && found?.revision === entry.revision)
          setLoaded({ of: entry, phrase: found.phrase });
      });
    return () => {
      shown = false;
    };
  }, [store, entry]);
  return here;
}

/**
 * Puts what can be done here into the list of everything that can be done, while the component is
 * shown. The list must keep its identity while nothing in it changes (`useMemo`).
 */
export function useActions(actions: readonly Action[]): void {
  const { actions: table } = useApp();
  useEffect(() => table.add(actions), [table, actions]);
}

/** The title of the page in the window's title, most particular first. */
export function usePageTitle(title: string): void {
  useEffect(() => {
    document.title = title === '' ? 'Degreewise' : `${title} · Degreewise`;
  }, [title]);
}
