import { useCallback, useEffect, useRef, useState } from 'react';
import type { Sound } from './use-ear';

/** Plays a part of the recording; a second call stops it. */
export function useRecording(sound: Sound | null) {
  const [playing, setPlaying] = useState(false);
  const context = useRef<AudioContext | null>(null);
  const stop = useCallback(() => {
    void context.current?.close();
    context.current = null;
    setPlaying(false);
  }, []);
  const play = useCallback(
    (from: number, to: number) => {
      if (sound === null) return;
      stop();
      const made = new AudioContext();
      const { samples, rate } = sound;
      const cut = samples.slice(Math.max(0, Math.floor(from * rate)), Math.ceil(to * rate));
      const buffer = made.createBuffer(1, Math.max(1, cut.length), rate);
      buffer.copyToChannel(cut, 0);
      const node = new AudioBufferSourceNode(made, { buffer });
      node.connect(made.destination);
      node.onended = () => {
        if (context.current === made) stop();
      };
      context.current = made;
      node.start();
      setPlaying(true);
    },
    [sound, stop],
  );
  useEffect(() => stop, [stop]);
  return { playing, play, stop };
}
