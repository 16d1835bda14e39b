import { useCallback, useEffect, useRef, useState } from 'react';
import { writeWav } from '../../io/wav/write';
import { soundRecording } from '../frame/recording/recording-sound';
import type { Sound } from './use-ear';

export interface HearOptions {
  /** Percent of the speed at which it was played; the pitch stays. */
  readonly speed: number;
  /** From the beginning once more at its end. */
  readonly again?: boolean;
  /** What comes after it. */
  readonly after?: () => void;
}

/** Plays a part of the recording, at any speed and at its own pitch, in place of what of it sounded before. */
export function useRecording(sound: Sound | null) {
  const [playing, setPlaying] = useState(false);
  const own = useRef<ReturnType<typeof soundRecording> | null>(null);
  const stop = useCallback(() => own.current?.stop(), []);
  const play = useCallback(
    (from: number, to: number, { speed, again, after }: HearOptions) => {
      if (sound === null) return;
      const { samples, rate } = sound;
      const cut = samples.slice(Math.max(0, Math.floor(from * rate)), Math.ceil(to * rate));
      const wave = new Blob([writeWav(cut, rate) as Uint8Array<ArrayBuffer>], {
        type: 'audio/wav',
      });
      own.current = soundRecording(wave, { speed, again: again === true }, (byItself) => {
        setPlaying(false);
        if (byItself) after?.();
      });
      setPlaying(true);
    },
    [sound],
  );
  const slow = useCallback((speed: number) => own.current?.slow(speed), []);
  useEffect(() => stop, [stop]);
  return { playing, play, stop, slow };
}
