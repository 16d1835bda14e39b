import { useSyncExternalStore } from 'react';
import { type Around, aroundOf } from '../../core/library/around';
import type { Collection } from '../../core/library/collection';
import type { Use } from '../../core/library/use';
import { COLLECTIONS, USES } from '../../io/kinds/kinds';
import type { LibraryStore, Stored } from '../../storage/types';
import { useApp } from './app-context';

interface Known {
  readonly collections: readonly Stored<Collection>[];
  readonly uses: readonly Stored<Use>[];
  readonly around: Around;
}

const known = new WeakMap<LibraryStore, Known>();

/** The calendar day of this machine: 2026-11-27. */
export function today(now: Date = new Date()): string {
  const two = (n: number) => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** What a library knows of its phrases besides; the same object until it or the day changes. */
export function aroundLibrary(store: LibraryStore): Around {
  const [collections, uses] = [store.of(COLLECTIONS).all(), store.of(USES).all()];
  const day = today();
  const before = known.get(store);
  if (before?.collections === collections && before.uses === uses && before.around.today === day) {
    return before.around;
  }
  const values = <T>(all: readonly Stored<T>[]) => all.map((s) => s.value);
  const around = aroundOf(values(collections), values(uses), day);
  known.set(store, { collections, uses, around });
  return around;
}

/** What the library knows of its phrases besides, followed as it changes. */
export function useAround(): Around {
  const { store } = useApp();
  return useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => aroundLibrary(store),
  );
}
