import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { writeWav } from '../../io/wav/write';
import {
  BOTH,
  type Sides,
  type SoundingRecording,
  soundRecording,
} from '../frame/recording/recording-sound';
import { cutOf, sideBySide } from './side-by-side';
import type { Sound } from './use-ear';

export interface HearOptions {
  /** Percent of the speed at which it was played; the pitch stays. */
  readonly speed: number;
  /** From the beginning once more at its end. */
  readonly again?: boolean;
  /** What comes after it. */
  readonly after?: () => void;
  /** The phrase as sound, heard with it, and the second of the recording at which it begins. */
  readonly beside?: { readonly samples: Float32Array; readonly begin: number };
}

export interface UseRecording {
  /** What sounds: the recording alone, or the phrase with it. */
  readonly playing: 'alone' | 'beside' | null;
  readonly play: (from: number, to: number, how: HearOptions) => void;
  readonly stop: () => void;
  readonly slow: (speed: number) => void;
  readonly repeat: (again: boolean) => void;
  /** Which of the two is heard, where both sound: it goes on at the same place. */
  readonly mix: (sides: Sides) => void;
  /** Seconds of the recording that sound now; null in silence. */
  readonly position: () => number | null;
}

/** Plays a part of the recording, at any speed and at its own pitch, in place of what of it sounded before. */
export function useRecording(sound: Sound | null): UseRecording {
  const [playing, setPlaying] = useState<UseRecording['playing']>(null);
  const own = useRef<{ readonly of: SoundingRecording; readonly from: number } | null>(null);
  const stop = useCallback(() => own.current?.of.stop(), []);
  /** What was computed for a phrase that is shown no more is not begun: nothing on the page would end it. */
  const shown = useRef(false);
  const play = useCallback(
    (from: number, to: number, { speed, again, after, beside }: HearOptions) => {
      if (sound === null || !shown.current) return;
      const part = { ...sound, from, to };
      const file =
        beside === undefined
          ? writeWav(cutOf(part), sound.rate)
          : writeWav(sideBySide(part, beside.samples, beside.begin), sound.rate, 16, 2);
      const sides = beside === undefined ? {} : { sides: BOTH };
      const wave = new Blob([file], { type: 'audio/wav' });
      const of = soundRecording(wave, { speed, again: again === true, ...sides }, (byItself) => {
        own.current = null;
        setPlaying(null);
        if (byItself) after?.();
      });
      own.current = { of, from };
      setPlaying(beside === undefined ? 'alone' : 'beside');
    },
    [sound],
  );
  const slow = useCallback((speed: number) => own.current?.of.slow(speed), []);
  const repeat = useCallback((again: boolean) => own.current?.of.repeat(again), []);
  const mix = useCallback((sides: Sides) => own.current?.of.mix(sides), []);
  const position = useCallback(() => {
    const now = own.current;
    return now === null ? null : now.from + now.of.now();
  }, []);
  useEffect(() => {
    shown.current = true;
    return () => {
      shown.current = false;
      stop();
    };
  }, [stop]);
  return useMemo(
    () => ({ playing, play, stop, slow, repeat, mix, position }),
    [playing, play, stop, slow, repeat, mix, position],
  );
}
