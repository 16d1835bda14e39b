import { useEffect, useState } from 'react';

type Engraver = typeof import('./drawing');

let loading: Promise<Engraver> | null = null;
let loaded: Engraver | null = null;

/** Fetches the engraver once; it is kept out of the first load. A failed attempt is tried again. */
export function loadEngraver(): Promise<Engraver> {
  loading ??= import('./drawing').then(
    (module) => {
      loaded = module;
      return module;
    },
    (reason: unknown) => {
      loading = null;
      throw reason;
    },
  );
  return loading;
}

/** The engraver, or null until it is there; `failed` where it cannot be fetched. */
export function useEngraver(): Engraver | null | 'failed' {
  const [state, setState] = useState<Engraver | null | 'failed'>(loaded);
  useEffect(() => {
    if (state !== null) return;
    let shown = true;
    loadEngraver().then(
      (module) => {
        if (shown) setState(() => module);
      },
      () => {
        if (shown) setState('failed');
      },
    );
    return () => {
      shown = false;
    };
  }, [state]);
  return state;
}
