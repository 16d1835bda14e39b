import { useMemo, useSyncExternalStore } from 'react';
import type { Phrase } from '../../core/phrase/types';
import type { SaveStatus } from '../../storage/edit-types';
import type { PhraseEntry, Revision } from '../../storage/types';
import { type App, useApp, useLoaded, usePhrase } from './app-context';

/** A phrase as it stands on the page: with the edits that are still on their way to the disk. */
export interface Draft {
  readonly phrase: Phrase;
  readonly stored: PhraseEntry;
  readonly status: SaveStatus;
}

/** Null where the library has no such phrase, and until it is read; the same object until something of it changes. */
export function useDraft(id: string): Draft | null {
  const { queue } = useApp();
  const stored = usePhrase(id);
  const loaded = useLoaded(stored);
  const status = useSyncExternalStore(
    (changed) => queue.subscribe(changed),
    () => queue.status(id),
  );
  return useMemo(() => {
    if (stored === null) return null;
    const phrase = 'draft' in status ? status.draft : loaded;
    return phrase === null ? null : { phrase, stored, status };
  }, [stored, loaded, status]);
}

/** The phrase with a later time of change, for writing. */
export function touched(app: Pick<App, 'now'>, phrase: Phrase): Phrase {
  return { ...phrase, meta: { ...phrase.meta, modified: app.now() } };
}

/** The revision that a phrase has in the library now, or null where it is not there. */
export function revisionOf(app: Pick<App, 'store'>, id: string): Revision | null {
  return app.store.phrase(id)?.revision ?? null;
}
