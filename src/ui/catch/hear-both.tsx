import { useState } from 'react';
import type { UsePlayer } from '../frame/listen/use-player';
import { useRecording } from './hear-recording';
import type { Sound } from './use-ear';

const WHOLE = { kind: 'listen', stretch: null } as const;

/** The recording and the phrase: each alone, or one after the other, slower and again and again. */
export function HearBoth(props: {
  readonly player: UsePlayer;
  readonly sound: Sound | null;
  /** Seconds of the recording. */
  readonly from: number;
  readonly to: number;
}) {
  const { player, sound, from, to } = props;
  const recording = useRecording(sound);
  const { speed } = player.listening;
  const [loop, setLoop] = useState(false);
  const begin = Math.max(0, from - 0.1);
  return (
    <>
      <button
        type="button"
        disabled={sound === null}
        onClick={() => {
          player.stop();
          if (recording.playing) recording.stop();
          else recording.play(begin, to + 0.2, { speed, again: loop });
        }}
      >
        {recording.playing ? 'Stop the recording' : 'Hear the recording'}
      </button>
      <button
        type="button"
        onClick={() => {
          recording.stop();
          player.toggle();
        }}
      >
        {player.way === null ? 'Hear the phrase' : 'Stop the phrase'}
      </button>
      <button
        type="button"
        disabled={sound === null}
        onClick={() => {
          player.stop();
          recording.play(begin, to + 0.2, { speed, after: () => player.play(WHOLE) });
        }}
      >
        One after the other
      </button>
      <label>
        <span>Speed</span>
        <select
          value={speed}
          onChange={(e) => {
            player.set({ speed: Number(e.target.value) });
            recording.slow(Number(e.target.value));
          }}
        >
          {[...new Set([speed, 100, 75, 50])].map((x) => (
            <option key={x} value={x}>
              {x}%
            </option>
          ))}
        </select>
      </label>
      <label>
        <input type="checkbox" checked={loop} onChange={(e) => setLoop(e.target.checked)} />
        <span>Again and again</span>
      </label>
    </>
  );
}
