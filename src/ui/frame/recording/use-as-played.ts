import { useCallback, useMemo, useSyncExternalStore } from 'react';
import type { AsPlayed } from '../../../core/heard/played';
import { PLAYED_TICK, type PlayedWay, playedCourse } from '../../../core/heard/played-course';
import type { Phrase } from '../../../core/phrase/types';
import type { Take } from '../../../core/practice/types';
import { titleOf } from '../../shared/facts';
import { useApp } from '../app-context';
import { listeningNow } from '../listen/listening';
import { playing, setPlayed, stepNow, subscribeToPlayer } from '../listen/playing';
import { tellWhy } from '../listen/use-player';
import { silenceRecording } from './recording-sound';

/** Hears a phrase as it was played, through the player of the page. */
export function useAsPlayed(phrase: Phrase, played: AsPlayed | null) {
  const app = useApp();
  // One that changes while it sounds is another one: what sounds is ended with the page.
  const take = useMemo((): Take => ({ goal: null, changes: [], phrase }), [phrase]);
  const sounds = useSyncExternalStore(subscribeToPlayer, () => stepNow()?.take === take);
  const begin = useCallback(
    async (way: PlayedWay, at?: { readonly round: number; readonly ticks: number }) => {
      if (played === null) return;
      silenceRecording();
      try {
        const ready = await playing.get();
        const { mix, tone } = listeningNow();
        ready.level(mix);
        setPlayed(null);
        await ready.play({
          course: playedCourse(take, played, way),
          title: `${titleOf(phrase)}, as it was played`,
          ...(at === undefined ? {} : { at }),
          ...(tone === 'own' ? {} : { tone }),
        });
      } catch (reason) {
        tellWhy(app.notices, reason);
      }
    },
    [app, phrase, played, take],
  );
  /** Goes on at the same place in another way. */
  const goOn = (way: PlayedWay) => {
    const step = stepNow();
    const ticks = playing.known()?.ticks() ?? null;
    if (step?.take === take && ticks !== null) void begin(way, { round: step.round, ticks });
  };
  const stop = useCallback(() => playing.known()?.stop(), []);
  /** Seconds of it that sound now. */
  const position = useCallback(() => {
    const ticks = playing.known()?.ticks() ?? null;
    return ticks === null ? null : ticks * PLAYED_TICK;
  }, []);
  return { sounds, begin: (way: PlayedWay) => void begin(way), goOn, stop, position };
}
