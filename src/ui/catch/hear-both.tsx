import { useCallback, useState } from 'react';
import { TONES } from '../../core/sound/tone';
import { Choice } from '../frame/export/choice';
import { TONE_WORDS } from '../frame/export/sound-fields';
import type { UsePlayer } from '../frame/listen/use-player';
import { useSpaceBar } from '../frame/listen/use-space-bar';
import { silenceRecording } from '../frame/recording/recording-sound';
import { useRecording } from './hear-recording';
import type { Sound } from './use-ear';

const WHOLE = { kind: 'listen', stretch: null } as const;

/** The recording and the phrase: each alone, or one after the other, slower and again and again. */
export function HearBoth(props: {
  readonly player: UsePlayer;
  /** Whether it is this phrase that is heard: several share the player. */
  readonly heard: boolean;
  /** Whether the space bar is this phrase's. */
  readonly space: boolean;
  /** Id of its score, which has no use for the space bar itself. */
  readonly scoreId: string;
  /** Something of this phrase is heard: from now on the space bar is its own. */
  readonly onHear: () => void;
  readonly sound: Sound | null;
  /** Seconds of the recording. */
  readonly from: number;
  readonly to: number;
}) {
  const { player, heard, space, scoreId, onHear, sound, from, to } = props;
  const recording = useRecording(sound);
  const { speed } = player.listening;
  const [loop, setLoop] = useState(false);
  const begin = Math.max(0, from - 0.1);
  const hearPhrase = useCallback(() => {
    onHear();
    silenceRecording();
    if (heard) player.stop();
    else player.play(WHOLE);
  }, [onHear, heard, player]);
  const pressSpace = useCallback(() => {
    if (recording.playing) recording.stop();
    else if (player.state === 'silent') hearPhrase();
    else player.stop();
  }, [recording.playing, recording.stop, player, hearPhrase]);
  return (
    <>
      {space && <SpaceBar press={pressSpace} scoreId={scoreId} />}
      <button
        type="button"
        disabled={sound === null}
        onClick={() => {
          onHear();
          player.stop();
          if (recording.playing) recording.stop();
          else recording.play(begin, to + 0.2, { speed, again: loop });
        }}
      >
        {recording.playing ? 'Stop the recording' : 'Hear the recording'}
      </button>
      <button
        type="button"
        className="hear-phrase"
        onClick={hearPhrase}
        {...(space ? { 'aria-keyshortcuts': 'Space' } : {})}
      >
        {heard ? 'Stop the phrase' : 'Hear the phrase'}
      </button>
      {space && <kbd>Space</kbd>}
      <button
        type="button"
        disabled={sound === null}
        onClick={() => {
          onHear();
          player.stop();
          recording.play(begin, to + 0.2, { speed, after: () => player.play(WHOLE) });
        }}
      >
        One after the other
      </button>
      <HowHeard player={player} slow={recording.slow} loop={loop} onLoop={setLoop} />
    </>
  );
}

/** How fast, on what, and whether again and again. */
function HowHeard(props: {
  readonly player: UsePlayer;
  /** Slows the recording down while it plays; percent. */
  readonly slow: (speed: number) => void;
  readonly loop: boolean;
  readonly onLoop: (loop: boolean) => void;
}) {
  const { player, slow, loop, onLoop } = props;
  const { speed } = player.listening;
  return (
    <>
      <label>
        <span>Speed</span>
        <select
          value={speed}
          onChange={(e) => {
            player.set({ speed: Number(e.target.value) });
            slow(Number(e.target.value));
          }}
        >
          {[...new Set([speed, 100, 75, 50])].map((x) => (
            <option key={x} value={x}>
              {x}%
            </option>
          ))}
        </select>
      </label>
      <Choice
        label="Tone of the phrase"
        value={player.listening.tone}
        values={['own', ...TONES]}
        words={TONE_WORDS}
        onChange={(tone) => player.set({ tone })}
      />
      <label>
        <input type="checkbox" checked={loop} onChange={(e) => onLoop(e.target.checked)} />
        <span>Again and again</span>
      </label>
    </>
  );
}

function SpaceBar(props: { readonly press: () => void; readonly scoreId: string }) {
  useSpaceBar(props.press, props.scoreId);
  return null;
}
