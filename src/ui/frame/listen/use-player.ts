import { useCallback, useEffect, useMemo, useRef, useState, useSyncExternalStore } from 'react';
import type { NoteId, Phrase } from '../../../core/phrase/types';
import type { ToneName } from '../../../core/sound/tone';
import type { PlayerState } from '../../../sound/player/player';
import type { SoundingNotes } from '../../score/sounding';
import { NotThere, onDemand } from '../../shared/on-demand';
import { useApp } from '../app-context';

/** How a phrase is listened to; kept while the window is open. */
export interface Listening {
  /** Percent of the tempo. */
  readonly speed: number;
  readonly loop: boolean;
  readonly tone: 'own' | ToneName;
}

/** One player for the whole window: what is begun ends what was heard before. */
const playing = onDemand('What plays', async () => {
  const { createPlayer } = await import('../../../sound/player/player');
  const player = createPlayer();
  player.subscribe(() => {
    for (const changed of waiting) changed();
  });
  return player;
});
const waiting = new Set<() => void>();
let last: Listening = { speed: 100, loop: false, tone: 'own' };

const NO_SOUND =
  'The phrase cannot be played: this browser gave no sound, or a part of the program did not come. Load the page again, or try another browser.';

const NOTHING: ReadonlySet<NoteId> = new Set();

const subscribe = (changed: () => void) => {
  waiting.add(changed);
  return () => {
    waiting.delete(changed);
  };
};

/** What is heard, for whoever marks it. */
const HEARD: SoundingNotes = { subscribe, now: () => playing.known()?.sounding() ?? NOTHING };

export interface UsePlayer {
  readonly state: PlayerState;
  readonly listening: Listening;
  readonly set: (part: Partial<Listening>) => void;
  /** Plays the phrase from its beginning, or stops. */
  readonly toggle: () => void;
  readonly heard: SoundingNotes;
}

/**
 * Listening to one phrase. A change of speed, tone or phrase while it sounds goes on at the same
 * place of the music.
 */
export function usePlayer(phrase: Phrase): UsePlayer {
  const { notices } = useApp();
  const state = useSyncExternalStore(subscribe, () => playing.known()?.state() ?? 'silent');
  const [listening, setListening] = useState(last);
  const start = useCallback(
    async (how: Listening, from: number) => {
      try {
        const ready = await playing.get();
        const { speed, loop, tone } = how;
        await ready.play({
          phrase,
          speed: speed / 100,
          loop,
          from,
          ...(tone === 'own' ? {} : { tone }),
        });
      } catch (reason) {
        notices.trouble(reason instanceof NotThere ? reason.message : NO_SOUND);
      }
    },
    [phrase, notices],
  );
  // Leaving the page is silence; another phrase in its place goes on where this one was.
  useEffect(() => () => playing.known()?.stop(), []);
  const before = useRef(phrase);
  useEffect(() => {
    if (before.current === phrase) return;
    before.current = phrase;
    const at = playing.known()?.ticks() ?? null;
    if (at !== null) void start(last, at);
  }, [phrase, start]);
  const toggle = useCallback(() => {
    const player = playing.known();
    if (player !== null && player.state() !== 'silent') player.stop();
    else void start(listening, 0);
  }, [start, listening]);
  const set = useCallback(
    (part: Partial<Listening>) => {
      last = { ...last, ...part };
      setListening(last);
      const at = playing.known()?.ticks() ?? null;
      if (at !== null) void start(last, at);
    },
    [start],
  );
  return useMemo(
    () => ({ state, listening, set, toggle, heard: HEARD }),
    [state, listening, set, toggle],
  );
}
