import { useEffect, useMemo, useSyncExternalStore } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { isPlayed, playing, subscribeToPlayer } from './playing';
import { useHearing } from './use-player';

interface HearThisProps {
  readonly phrase: Phrase;
  /** Which of several that could be heard, for whoever cannot see where the button stands. */
  readonly what: string;
}

/** A button that plays one of several versions of a phrase once, at its own tempo, or stops it. */
export function HearThis({ phrase, what }: HearThisProps) {
  const { hear, hush } = useHearing();
  // Versions share the id of what they are versions of; what is heard has to be told apart.
  const version = useMemo(() => ({ ...phrase, id: `${phrase.id} ${what}` }), [phrase, what]);
  const heard = useSyncExternalStore(subscribeToPlayer, () => isPlayed(version.id));
  useEffect(
    () => () => {
      if (isPlayed(version.id)) playing.known()?.stop();
    },
    [version.id],
  );
  return (
    <button type="button" onClick={() => (heard ? hush() : hear(version))}>
      {heard ? 'Stop' : 'Hear it'}
      <span className="unseen">: {what}</span>
    </button>
  );
}
