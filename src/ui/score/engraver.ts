import { useEffect, useState } from 'react';
import { onDemand } from '../shared/on-demand';

export type Engraver = typeof import('./drawing');

/** Kept out of the first load. */
const engraving = onDemand('What draws the music', () => import('./drawing'));

/** Fetches the engraver once. A failed attempt is tried again. */
export const loadEngraver: () => Promise<Engraver> = engraving.get;

/** The engraver, or null until it is there; `failed` where it does not come, until the network is back. */
export function useEngraver(): Engraver | null | 'failed' {
  const [state, setState] = useState<Engraver | null | 'failed'>(engraving.known);
  useEffect(() => {
    if (state === 'failed') {
      const again = () => setState(null);
      window.addEventListener('online', again);
      return () => window.removeEventListener('online', again);
    }
    if (state !== null) return;
    let shown = true;
    engraving.get().then(
      (module) => {
        if (shown) setState(module);
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
