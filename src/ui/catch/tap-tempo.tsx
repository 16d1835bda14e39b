import { useState } from 'react';
import { tapped, tempoOfTaps } from '../../core/heard/taps';
import { useKeys } from './use-keys';

/** The tempo by taps on the button or with a key, before or after one plays. */
export function TapTempo({ onTempo }: { readonly onTempo: (tempo: string) => void }) {
  const [taps, setTaps] = useState<readonly number[]>([]);
  const tap = (at: number) => {
    const now = tapped(taps, at);
    setTaps(now);
    const bpm = tempoOfTaps(now);
    if (bpm !== null) onTempo(String(bpm));
  };
  useKeys({ t: tap });
  return (
    <button type="button" aria-keyshortcuts="t" onClick={(e) => tap(e.timeStamp)}>
      Tap the tempo (T)
    </button>
  );
}
