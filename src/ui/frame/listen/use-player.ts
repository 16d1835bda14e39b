import { useCallback, useEffect, useMemo, useRef, useSyncExternalStore } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import type { Step, Stretch } from '../../../core/practice/types';
import type { PlayerState } from '../../../sound/player/player';
import type { SoundingNotes } from '../../score/sounding';
import { NotThere } from '../../shared/on-demand';
import { useApp } from '../app-context';
import type { Notices } from '../notices';
import { type Listening, listeningNow, setListening, subscribeToListening } from './listening';
import {
  HEARD,
  isPlayed,
  type PlayWay,
  playerState,
  playing,
  playPhrase,
  stepNow,
  subscribeToPlayer,
  WrongCourse,
} from './playing';

const NO_SOUND =
  'The phrase cannot be played: this browser gave no sound, or a part of the program did not come. Load the page again, or try another browser.';

/** Says why something could not be played. */
export function tellWhy(notices: Notices, reason: unknown): void {
  if (reason instanceof WrongCourse) {
    notices.trouble(
      'It cannot be practised like that.',
      reason.problems.map((p) => (p.fix === undefined ? p.message : `${p.message}. ${p.fix}`)),
    );
  } else notices.trouble(reason instanceof NotThere ? reason.message : NO_SOUND);
}

export interface UsePlayer {
  readonly state: PlayerState;
  /** What is heard of this phrase; null in silence. */
  readonly way: PlayWay['kind'] | null;
  readonly listening: Listening;
  readonly set: (part: Partial<Listening>) => void;
  /** Plays what was played last on this page, or stops; at first the phrase from its beginning. */
  readonly toggle: () => void;
  readonly play: (way: PlayWay) => void;
  readonly stop: () => void;
  /** Says that the round that is heard was good. */
  readonly good: () => void;
  /** Goes on with the next round at once. */
  readonly skip: () => void;
  readonly heard: SoundingNotes;
}

/**
 * Listening to one phrase. A change of speed, tone or phrase while it sounds goes on at the same
 * place of the music.
 * @param stretch What is played of it; all where absent. Another one begins at its beginning.
 */
export function usePlayer(phrase: Phrase, stretch: Stretch | null = null): UsePlayer {
  const { notices } = useApp();
  const state = useSyncExternalStore(subscribeToPlayer, playerState);
  const listening = useSyncExternalStore(subscribeToListening, listeningNow);
  const last = useRef<PlayWay>({ kind: 'listen', stretch: null });
  const start = useCallback(
    async (way: PlayWay, at?: { round: number; speed?: number; ticks: number }) => {
      last.current = way;
      try {
        await playPhrase(phrase, way, listeningNow(), at);
      } catch (reason) {
        tellWhy(notices, reason);
      }
    },
    [phrase, notices],
  );
  const goOn = useCallback(
    (id: string, keepsSpeed: boolean) => {
      // Several phrases of a page share the player: only the one that is heard goes on.
      if (!isPlayed(id)) return;
      const step = stepNow();
      const ticks = playing.known()?.ticks() ?? null;
      if (step === null) return;
      // While it is counted in there is no place yet to go on at.
      if (ticks === null) void start(last.current);
      else {
        const at = { round: step.round, ticks };
        void start(last.current, keepsSpeed ? { ...at, speed: step.speed } : at);
      }
    },
    [start],
  );
  // Leaving the page is silence; another phrase in its place goes on where this one was.
  useEffect(() => () => playing.known()?.stop(), []);
  const before = useRef(phrase);
  useEffect(() => {
    if (before.current === phrase) return;
    const { id } = before.current;
    before.current = phrase;
    goOn(id, true);
  }, [phrase, goOn]);
  const toggle = useCallback(() => {
    const player = playing.known();
    if (player !== null && player.state() !== 'silent') player.stop();
    else void start({ kind: last.current.kind, stretch });
  }, [start, stretch]);
  const set = useCallback(
    (part: Partial<Listening>) => {
      setListening(part);
      const { mix, ...rest } = part;
      if (mix !== undefined) playing.known()?.level(mix);
      if (Object.keys(rest).length > 0) goOn(phrase.id, rest.speed === undefined);
    },
    [goOn, phrase.id],
  );
  const stop = useCallback(() => playing.known()?.stop(), []);
  const good = useCallback(() => playing.known()?.good(), []);
  const skip = useCallback(() => playing.known()?.skip(), []);
  return useMemo(
    () => ({
      state,
      way: state === 'silent' ? null : last.current.kind,
      listening,
      set,
      toggle,
      play: (way: PlayWay) => void start(way),
      stop,
      good,
      skip,
      heard: HEARD,
    }),
    [state, listening, set, toggle, start, stop, good, skip],
  );
}

/** The part of the course that is heard; draws again when the next one begins. */
export function useStep(): Step | null {
  return useSyncExternalStore(subscribeToPlayer, stepNow);
}

/** Hearing something short, such as a single note, beside the phrase of the page. */
export interface Hearing {
  readonly hear: (phrase: Phrase) => void;
  /** Ends it, so that nothing goes on in its place. */
  readonly hush: () => void;
}

/** Plays something once, at full speed, in place of what is playing. */
export function useHearing(): Hearing {
  const { notices } = useApp();
  return useMemo(
    () => ({
      hear: (phrase) => {
        const how = { ...listeningNow(), speed: 100, loop: false };
        playPhrase(phrase, { kind: 'listen', stretch: null }, how).catch((reason: unknown) =>
          tellWhy(notices, reason),
        );
      },
      hush: () => playing.known()?.stop(),
    }),
    [notices],
  );
}
