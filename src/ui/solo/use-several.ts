import { useCallback, useEffect, useRef, useState } from 'react';
import type { Phrase } from '../../core/phrase/types';
import { useApp } from '../frame/app-context';
import { askedOf, wishOf } from './asked';
import { another, type Bench } from './bench';
import { goesOn, noneYet, type Several, stopped, withMore, withNext } from './several';
import type { StudioWorker } from './use-studio';

export interface SeveralSteps {
  /** Null where none were asked for, or for something else than what is chosen now. */
  readonly now: Several | null;
  /** Whether one is being made. */
  readonly works: boolean;
  readonly ask: (count: number) => void;
  readonly more: (count: number) => void;
  readonly stop: () => void;
  readonly close: () => void;
}

/**
 * Several choruses around what is pinned: the best one and draws, made by the worker one at a time, so that each is seen when
 * it is there and nobody waits for the rest.
 */
export function useSeveral(
  worker: StudioWorker,
  phrases: readonly Phrase[] | null,
  bench: Bench,
): SeveralSteps {
  const app = useApp();
  const wish = wishOf(bench);
  const [state, setState] = useState<{
    readonly of: string;
    readonly from: readonly Phrase[];
    readonly is: Several;
  } | null>(null);
  // Of phrases that have changed since other choruses would come.
  const now = state !== null && state.of === wish && state.from === phrases ? state.is : null;
  const works = now !== null && goesOn(now);
  const look = useRef(bench);
  look.current = bench;
  useEffect(() => {
    if (!works || now === null || phrases === null) return;
    let wanted = true;
    const asked = askedOf(app, another(look.current, now.next));
    worker.ask(phrases, { kind: 'draw', number: 0, asked }, (answer) => {
      if (!wanted || answer.kind !== 'draw') return;
      setState((s) => (s === null || s.is !== now ? s : { ...s, is: withNext(now, answer.made) }));
    });
    return () => {
      wanted = false;
    };
  }, [works, now, phrases, worker, app]);
  const change = useCallback(
    (next: (s: Several) => Several) =>
      setState((s) => (s === null ? null : { ...s, is: next(s.is) })),
    [],
  );
  return {
    now,
    works,
    ask: (count) => {
      if (phrases !== null) setState({ of: wish, from: phrases, is: noneYet(count) });
    },
    more: (count) => change((s) => withMore(s, count)),
    stop: () => change(stopped),
    close: () => setState(null),
  };
}
