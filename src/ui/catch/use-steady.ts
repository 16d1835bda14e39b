import { useCallback, useLayoutEffect, useRef } from 'react';

/** The same function from one drawing to the next, which does what the last one drawn does: for events alone. */
export function useSteady<A extends readonly unknown[], R>(act: (...args: A) => R) {
  const last = useRef(act);
  useLayoutEffect(() => {
    last.current = act;
  }, [act]);
  return useCallback((...args: A): R => last.current(...args), []);
}
