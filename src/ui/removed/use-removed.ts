import { useEffect, useMemo, useState, useSyncExternalStore } from 'react';
import type { Thing } from '../../io/kinds/kind';
import type { LibraryStore, RemovedThing, ThingName } from '../../storage/types';
import { useApp } from '../frame/app-context';

/** What was read of something removed; null where it cannot be. */
export type Read = Thing | null;

/** One name for a thing among things of all kinds. */
export const nameOf = ({ kind, id }: ThingName): string => `${kind.name} ${id}`;

/** What was removed, the last first, with the first so many of it read. */
export function useRemoved(rows: number): {
  readonly all: readonly RemovedThing[];
  readonly read: ReadonlyMap<string, Read>;
} {
  const { store } = useApp();
  const change = useChange(store);
  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at again when the library changes.
  const all = useMemo(
    () =>
      [...store.things.removed()].sort(
        (a, b) => b.removed - a.removed || (nameOf(a) < nameOf(b) ? -1 : 1),
      ),
    [store, change],
  );
  const [read, setRead] = useState<ReadonlyMap<string, Read>>(new Map());
  const wanted = useMemo(() => all.slice(0, rows), [all, rows]);
  useEffect(() => {
    let shown = true;
    void store.things.readRemoved(wanted).then((found) => {
      if (shown) setRead(new Map(wanted.map((t, i) => [nameOf(t), found[i] ?? null])));
    });
    return () => {
      shown = false;
    };
  }, [store, wanted]);
  return { all, read };
}

/** Another object whenever the library has changed. */
function useChange(store: LibraryStore): unknown {
  const [counter] = useState(() => ({ n: 0 }));
  return useSyncExternalStore(
    (changed) =>
      store.subscribe(() => {
        counter.n++;
        changed();
      }),
    () => counter.n,
  );
}
