import { useMemo, useSyncExternalStore } from 'react';
import { STANDARD_FORMS } from '../../core/form/standard';
import { type Form, formOfOwn } from '../../core/form/types';
import { FORMS } from '../../io/kinds/kinds';
import { useApp } from './app-context';

/** The standard forms, then those of the library by their titles; of one that is written in as it is now. */
export function useForms(): readonly Form[] {
  const { store, queue } = useApp();
  const all = store.of(FORMS);
  const stored = useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => all.all(),
  );
  const drafts = useSyncExternalStore(
    (changed) => queue.subscribe(changed),
    () => stored.map((s) => draftOf(queue.of(FORMS).status(s.id))).join(),
  );
  return useMemo(() => {
    void drafts;
    const own = stored
      .map((s) => {
        const status = queue.of(FORMS).status(s.id);
        return formOfOwn('draft' in status ? status.draft : s.value);
      })
      .map((f) => ({ ...f, title: f.title.trim() === '' ? 'Untitled form' : f.title }))
      .sort((a, b) => a.title.localeCompare(b.title));
    return [...STANDARD_FORMS, ...own];
  }, [queue, stored, drafts]);
}

function draftOf(status: object): string {
  return 'draft' in status ? JSON.stringify(status.draft) : '';
}
