import { useMemo, useRef, useState } from 'react';
import type { Form } from '../../core/form/types';
import type { RouteOf } from '../frame/route';
import { navigate } from '../frame/use-route';
import type { Query } from '../shared/query';
import { another, type Bench, readBench, writeBench } from './bench';

export interface BenchSteps {
  readonly bench: Bench;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  readonly go: (next: Bench) => void;
  readonly undo: () => void;
  readonly redo: () => void;
  /** Another chorus around what is pinned. */
  readonly another: () => void;
  /** The best chorus around what is pinned. */
  readonly best: () => void;
  /** Nothing is held any more. */
  readonly release: () => void;
}

/** What is chosen, kept in the address; every change is a step that can be undone, by the back button too. */
export function useBench({ query }: RouteOf<'solo'>, forms: readonly Form[]): BenchSteps {
  const bench = useBenchOf(query, forms);
  const [past, setPast] = useState<readonly Query[]>([]);
  const [future, setFuture] = useState<readonly Query[]>([]);
  const look = useRef(query);
  look.current = query;
  return useMemo(() => {
    const now = writeBench(bench);
    const show = (next: Query) => navigate({ page: 'solo', query: { ...look.current, ...next } });
    const go = (next: Bench) => {
      setPast([...past, now]);
      setFuture([]);
      show(writeBench(next));
    };
    return {
      bench,
      canUndo: past.length > 0,
      canRedo: future.length > 0,
      go,
      undo: () => {
        const before = past.at(-1);
        if (before === undefined) return;
        setPast(past.slice(0, -1));
        setFuture([now, ...future]);
        show(before);
      },
      redo: () => {
        const [next, ...rest] = future;
        if (next === undefined) return;
        setPast([...past, now]);
        setFuture(rest);
        show(next);
      },
      another: () => go(another(bench, bench.seed + 1)),
      best: () => go(another(bench, 0)),
      release: () => go({ ...bench, held: [] }),
    };
  }, [bench, past, future]);
}

/** The bench of an address; the same one while only what is shown changes there, so that no solo is made again. */
function useBenchOf(query: Query, forms: readonly Form[]): Bench {
  const last = useRef<Bench | null>(null);
  return useMemo(() => {
    const next = readBench(query, forms);
    const before = last.current;
    const same = before !== null && before.form === next.form && nameOf(before) === nameOf(next);
    last.current = same ? before : next;
    return last.current;
  }, [query, forms]);
}

const nameOf = (b: Bench) => JSON.stringify(writeBench(b));
