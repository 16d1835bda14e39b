import { useEffect, useRef } from 'react';
import { usualFeel } from '../../core/backing/accompany';
import type { Phrase } from '../../core/phrase/types';
import { listeningNow, setListening } from '../frame/listen/listening';
import type { UsePlayer } from '../frame/listen/use-player';

/**
 * The band plays a part in place of its own chords as long as it is shown; where nobody plays along, a band comes
 * with it once. Without the part, and when the page is left, the band is what it was before, but for another one
 * that was chosen meanwhile.
 * @param part Null while none is shown.
 * @param chosen What the part is made of: a band that was sent away stays away until something else is chosen.
 */
export function useHeardWith(
  player: UsePlayer,
  solo: Phrase,
  part: Phrase | null,
  chosen: string,
): void {
  const { listening, set } = player;
  const { band } = listening;
  const feel = useRef(usualFeel(solo));
  feel.current = usualFeel(solo);
  const shown = part === null ? '' : chosen;
  // What plays is left alone here: leaving the page is silence.
  useEffect(() => {
    if (shown === '') return;
    const before = listeningNow().band;
    const given = before === null ? feel.current : null;
    if (given !== null) setListening({ band: { feel: given, seed: 1, rhythm: null } });
    return () => {
      const after = listeningNow().band;
      const stays = after !== null && after.feel !== given;
      setListening({ band: stays ? { ...after, rhythm: before?.rhythm ?? null } : null });
    };
  }, [shown]);
  const heard = useRef(false);
  useEffect(() => {
    if (part === null) {
      // What sounds goes on without it.
      if (heard.current) set({ band: listeningNow().band });
      heard.current = false;
    } else if (band !== null && band.rhythm !== part) {
      heard.current = true;
      set({ band: { ...band, rhythm: part } });
    }
  }, [part, band, set]);
}
