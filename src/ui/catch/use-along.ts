import { type RefObject, useCallback, useRef } from 'react';
import { remembered } from './click-test';
import type { PlayWith, Round, RunningClock, ToEar } from './messages';
import type { Ear } from './microphone';
import { useDelay } from './use-delay';
import { usePlayWith } from './use-play-with';

/** What sounds while one plays: a click or the band, and the test of the delay; all on the clock of the ear. */
export function useAlong(ear: RefObject<Ear | null>) {
  const delay = useDelay();
  const playWith = usePlayWith();
  const heardUntil = useRef(0);
  const { way, ask, isAsked, begin, stop, forget } = playWith;
  const { measure: test, hear: listen, leave: leaveTest, open: openDelay } = delay;
  /** @returns what is remembered of a block: of clicks that are listened for nothing. */
  const hear = useCallback(
    (block: Float32Array, until: number): Float32Array => {
      heardUntil.current = until;
      return remembered(block, listen(block, until));
    },
    [listen],
  );
  const leave = useCallback(() => {
    leaveTest();
    stop();
  }, [leaveTest, stop]);
  /**
   * What was asked for by this number has come; null where it cannot be played.
   * @returns whether it is still waited for: something else may have been asked for since.
   */
  const come = useCallback(
    (number: number, round: Round | null): boolean => {
      if (!isAsked(number)) return false;
      if (round === null) stop();
      else if (ear.current !== null) begin(ear.current, round);
      return true;
    },
    [ear, isAsked, begin, stop],
  );
  /** Asks for a click or the band; the same once more ends it. */
  const along = useCallback(
    (wish: PlayWith, tell: (message: ToEar) => void) => {
      if (way !== null) stop();
      // Its clicks would be taken for those of the test.
      leaveTest();
      if (ear.current === null || way === wish.way) return;
      tell({ kind: 'accompany', ask: ask(wish), wish, rate: ear.current.rate });
    },
    [ear, way, ask, stop, leaveTest],
  );
  const measure = useCallback(() => {
    stop();
    if (ear.current !== null) test(ear.current);
  }, [ear, stop, test]);
  const clock = (): RunningClock | null =>
    playWith.clock(heardUntil.current, delay.known?.seconds ?? null);
  /** Another recording begins, of an input that has just been opened. */
  const open = useCallback(
    (opened: Ear) => {
      forget();
      openDelay(opened);
    },
    [forget, openDelay],
  );
  return { hear, leave, open, come, along, measure, clock, delay, way };
}
