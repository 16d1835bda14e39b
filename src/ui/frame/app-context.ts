import { createContext, use, useEffect, useSyncExternalStore } from 'react';
import type { HistoryStore } from '../../storage/history-store';
import type { LibrarySnapshot, LibraryStore, SaveQueue, StoredPhrase } from '../../storage/types';
import type { Action, ActionTable } from './actions';
import type { Importer } from './importer';
import type { FirstStart } from './keep-and-remove';
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

/** The phrase with an id as it is kept, or null where the library has none. */
export function usePhrase(id: string): StoredPhrase | null {
  const { store } = useApp();
  return useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => store.phrase(id),
  );
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
