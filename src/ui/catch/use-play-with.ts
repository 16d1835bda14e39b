import { useCallback, useRef, useState } from 'react';
import type { PlayWith, Round, RunningClock } from './messages';
import type { Ear } from './microphone';

/** Seconds from the press to the first click. */
const SOON = 0.25;

interface Running {
  /** The number by which it was asked for. */
  readonly ask: number;
  readonly bpm: number;
  readonly round: number;
  readonly form: number | null;
  /** When its first round began, on the clock of the ear. */
  readonly began: number;
  readonly ear: Ear;
  readonly end: () => void;
  /** When it ended, on the same clock. */
  ended: number;
}

/** What was played to a clock is kept with its beat so long after the clock was ended, in seconds. */
const KEPT = 20;

export interface PlaysWith {
  /** What runs, or is about to. */
  readonly way: PlayWith['way'] | null;
  /** Says that it is being computed. @returns the number of what is asked for. */
  readonly ask: (wish: PlayWith) => number;
  /** Whether this is what was asked for last, and nobody has ended it. */
  readonly isAsked: (number: number) => boolean;
  readonly begin: (ear: Ear, round: Round) => void;
  readonly stop: () => void;
  /** Another recording begins: what was played along with before is not its own. */
  readonly forget: () => void;
  /** @param until The end of what was heard, on the clock of the ear. @param delay Of the device; null where nobody knows. */
  readonly clock: (until: number, delay: number | null) => RunningClock | null;
}

/** A click or a band on the clock of the ear, so that what is played to it has its beat and bars. */
export function usePlayWith(): PlaysWith {
  const [way, setWay] = useState<PlayWith['way'] | null>(null);
  const asked = useRef<{ readonly wish: PlayWith; readonly number: number } | null>(null);
  const asks = useRef(0);
  const running = useRef<Running | null>(null);
  const stop = useCallback(() => {
    const now = running.current;
    if (now !== null && now.ended === Number.POSITIVE_INFINITY) {
      now.end();
      now.ended = now.ear.now();
    }
    asked.current = null;
    setWay(null);
  }, []);
  const ask = useCallback(
    (wish: PlayWith) => {
      stop();
      const number = ++asks.current;
      asked.current = { wish, number };
      setWay(wish.way);
      return number;
    },
    [stop],
  );
  const isAsked = useCallback((number: number) => asked.current?.number === number, []);
  const begin = useCallback((ear: Ear, round: Round) => {
    if (asked.current === null) return;
    const { wish, number } = asked.current;
    const from = ear.now() + SOON;
    const began = from + round.countIn.length / ear.rate;
    const ends = [ear.play(round.countIn, from, false), ear.play(round.samples, began, true)];
    running.current = {
      ask: number,
      ear,
      ended: Number.POSITIVE_INFINITY,
      bpm: wish.bpm,
      round: round.seconds,
      form: round.form,
      began,
      end: () => {
        for (const end of ends) end();
      },
    };
  }, []);
  const clock = useCallback((until: number, delay: number | null): RunningClock | null => {
    const to = running.current;
    if (to === null || until > to.ended + KEPT) return null;
    const { ask, bpm, round, form, began } = to;
    const ago = until - began - (delay ?? 0);
    const ran = Math.min(ago, to.ended - began);
    return { ask, bpm, round, form, ago, ran, measured: delay !== null };
  }, []);
  const forget = useCallback(() => {
    stop();
    running.current = null;
  }, [stop]);
  return { way, ask, isAsked, begin, stop, forget, clock };
}
