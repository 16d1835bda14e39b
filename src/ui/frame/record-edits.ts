import { useEffect, useMemo, useSyncExternalStore } from 'react';
import type { Kind } from '../../io/kinds/kind';
import { useApp } from './app-context';
import { type Edited, type RecordEdits, recordEdits, stepsThatLeadTo } from './record-steps';

export type { RecordEdits } from './record-steps';

/** A thing of a kind with its edits, each saved as it is made; null where the library has none. */
export function useRecord<T extends Edited>(kind: Kind<T>, id: string): RecordEdits<T> | null {
  const app = useApp();
  const queue = app.queue.of(kind);
  const status = useSyncExternalStore(
    (changed) => app.queue.subscribe(changed),
    () => queue.status(id),
  );
  const stored = useSyncExternalStore(
    (changed) => app.store.subscribe(changed),
    () => app.store.of(kind).get(id),
  );
  const value = 'draft' in status ? status.draft : (stored?.value ?? null);
  useEffect(() => {
    if (value !== null) stepsThatLeadTo(app, kind, value);
  }, [app, kind, value]);
  return useMemo(
    () => (value === null ? null : recordEdits(app, kind, value, status)),
    [app, kind, value, status],
  );
}
