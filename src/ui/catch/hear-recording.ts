import { useCallback, useEffect, useRef, useState } from 'react';
import { writeWav } from '../../io/wav/write';
import type { Sound } from './use-ear';

export interface HearOptions {
  /** Percent of the speed at which it was played; the pitch stays. */
  readonly speed: number;
  /** From the beginning once more at its end. */
  readonly again?: boolean;
  /** What comes after it. */
  readonly after?: () => void;
}

/** Plays a part of the recording, at any speed and at its own pitch. */
export function useRecording(sound: Sound | null) {
  const [playing, setPlaying] = useState(false);
  const now = useRef<HTMLAudioElement | null>(null);
  const stop = useCallback(() => {
    const audio = now.current;
    now.current = null;
    if (audio !== null) {
      audio.pause();
      URL.revokeObjectURL(audio.src);
    }
    setPlaying(false);
  }, []);
  const play = useCallback(
    (from: number, to: number, o: HearOptions) => {
      if (sound === null) return;
      stop();
      const { samples, rate } = sound;
      const cut = samples.slice(Math.max(0, Math.floor(from * rate)), Math.ceil(to * rate));
      const file = new Blob([writeWav(cut, rate) as Uint8Array<ArrayBuffer>], {
        type: 'audio/wav',
      });
      const audio = new Audio(URL.createObjectURL(file));
      audio.preservesPitch = true;
      audio.playbackRate = o.speed / 100;
      audio.loop = o.again === true;
      audio.onended = () => {
        if (now.current !== audio) return;
        stop();
        o.after?.();
      };
      now.current = audio;
      setPlaying(true);
      void audio.play().catch(() => {
        if (now.current === audio) stop();
      });
    },
    [sound, stop],
  );
  const slow = useCallback((speed: number) => {
    if (now.current !== null) now.current.playbackRate = speed / 100;
  }, []);
  useEffect(() => stop, [stop]);
  return { playing, play, stop, slow };
}
