import { useEffect, useMemo, useState, useSyncExternalStore } from 'react';
import type { Turn } from '../../../core/plan/types';
import { TURNS } from '../../../io/kinds/kinds';
import type { LibraryStore, Stored } from '../../../storage/types';
import { LogReader } from './read-log';

/** How far the reading of a log has come. */
export interface Reading {
  readonly done: number;
  readonly total: number;
}

/** The turns of a log, in no order; while they are read, how far that has come. */
export function useTurns(store: LibraryStore, log: string | null): readonly Turn[] | Reading {
  const subscribe = (changed: () => void) => store.subscribe(changed);
  const entries = useSyncExternalStore(subscribe, () =>
    log === null ? NONE : store.of(TURNS).inGroup(log),
  );
  const reader = useMemo(() => (log === null ? null : new LogReader(store, log)), [store, log]);
  const [told, setTold] = useState<Reading>(BEGUN);
  // Counts what was read.
  const [, setRead] = useState(0);
  useEffect(() => {
    if (reader === null || entries.length === 0 || reader.now() !== null) return;
    let wanted = true;
    const tell = (done: number, total: number) => {
      if (wanted) setTold({ done, total });
      return wanted;
    };
    // Where the library closes or fails meanwhile, that is said elsewhere; news has it read again.
    reader.read(tell).then(
      () => wanted && setRead((n) => n + 1),
      () => undefined,
    );
    return () => {
      wanted = false;
    };
  }, [reader, entries]);
  if (reader === null) return NO_TURNS;
  // What another window has added is read while the rest stays.
  return reader.now() ?? reader.before ?? told;
}

const NO_TURNS: readonly Turn[] = [];
const NONE: readonly Stored<Turn>[] = [];
const BEGUN: Reading = { done: 0, total: 0 };
