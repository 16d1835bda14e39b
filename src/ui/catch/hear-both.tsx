import { useCallback, useState } from 'react';
import { TONES } from '../../core/sound/tone';
import { Choice } from '../frame/export/choice';
import { TONE_WORDS } from '../frame/export/sound-fields';
import type { UsePlayer } from '../frame/listen/use-player';
import { useSpaceBar } from '../frame/listen/use-space-bar';
import { BOTH, silenceRecording } from '../frame/recording/recording-sound';
import type { HearOptions, UseRecording } from './hear-recording';
import { useKeys } from './use-keys';
import { useOnce } from './with-recording';

const WHOLE = { kind: 'listen', stretch: null } as const;

/** What of the two is heard, in the order in which one key goes through them. */
const WAYS = [
  { name: 'both', sides: BOTH },
  { name: 'the recording alone', sides: { left: 1, right: 0 } },
  { name: 'the phrase alone', sides: { left: 0, right: 1 } },
] as const;

interface HearBothProps {
  readonly player: UsePlayer;
  /** Whether it is this phrase that is heard: several share the player. */
  readonly heard: boolean;
  /** Whether the space bar is this phrase's. */
  readonly space: boolean;
  /** Id of its score, which has no use for the space bar itself. */
  readonly scoreId: string;
  /** Something of this phrase is heard: from now on the space bar is its own. */
  readonly onHear: () => void;
  /** Null where there is none. */
  readonly recording: UseRecording | null;
  /** The phrase as sound, on the time of the recording. */
  readonly beside: () => Promise<HearOptions['beside'] | null>;
  /** Seconds of the recording. */
  readonly from: number;
  readonly to: number;
}

/** The recording and the phrase: each alone, one after the other or together, slower and again and again. */
export function HearBoth(props: HearBothProps) {
  const { player, heard, space, scoreId, onHear, recording, from, to } = props;
  const { speed } = player.listening;
  const [loop, setLoop] = useState(false);
  const sounds = recording?.playing ?? null;
  const hearPhrase = useCallback(() => {
    onHear();
    silenceRecording();
    if (heard) player.stop();
    else player.play(WHOLE);
  }, [onHear, heard, player]);
  const pressSpace = useCallback(() => {
    if (sounds !== null) recording?.stop();
    else if (player.state === 'silent') hearPhrase();
    else player.stop();
  }, [sounds, recording, player, hearPhrase]);
  const hear = (more: Partial<HearOptions>) => {
    onHear();
    player.stop();
    recording?.play(Math.max(0, from - 0.1), to + 0.2, { speed, ...more });
  };
  return (
    <>
      {space && <SpaceBar press={pressSpace} scoreId={scoreId} />}
      {recording !== null && (
        <button
          type="button"
          onClick={() => (sounds === 'alone' ? recording.stop() : hear({ again: loop }))}
        >
          {sounds === 'alone' ? 'Stop the recording' : 'Hear the recording'}
        </button>
      )}
      <button
        type="button"
        className="hear-phrase"
        onClick={hearPhrase}
        {...(space ? { 'aria-keyshortcuts': 'Space' } : {})}
      >
        {heard ? 'Stop the phrase' : 'Hear the phrase'}
      </button>
      {space && <kbd>Space</kbd>}
      {recording !== null && (
        <>
          <button type="button" onClick={() => hear({ after: () => player.play(WHOLE) })}>
            One after the other
          </button>
          <Together
            recording={recording}
            hear={async () => {
              const beside = await props.beside();
              if (beside !== null)
                hear({ again: loop, ...(beside === undefined ? {} : { beside }) });
            }}
          />
        </>
      )}
      <HowHeard
        player={player}
        alone={recording === null}
        slow={(x) => recording?.slow(x)}
        loop={loop}
        onLoop={(on) => {
          setLoop(on);
          recording?.repeat(on);
        }}
      />
    </>
  );
}

/** Both at once, and one press that goes from both to each of them and back, at the same place. */
function Together(props: { readonly recording: UseRecording; readonly hear: () => Promise<void> }) {
  const { recording, hear } = props;
  const sounds = recording.playing === 'beside';
  const [way, setWay] = useState(0);
  const next = (way + 1) % WAYS.length;
  const change = () => {
    setWay(next);
    recording.mix(WAYS[next]!.sides);
  };
  useKeys({ s: sounds ? change : null });
  const begin = useOnce(async () => {
    setWay(0);
    await hear();
  });
  return (
    <>
      <button type="button" onClick={() => (sounds ? recording.stop() : begin())}>
        {sounds ? 'Stop both' : 'Hear both together'}
      </button>
      {sounds && (
        <button type="button" aria-keyshortcuts="s" onClick={change}>
          Go over to {WAYS[next]!.name} (S)
        </button>
      )}
    </>
  );
}

/** How fast, on what, and whether again and again. */
function HowHeard(props: {
  readonly player: UsePlayer;
  /** There is no recording beside the phrase. */
  readonly alone: boolean;
  /** Slows the recording down while it plays; percent. */
  readonly slow: (speed: number) => void;
  readonly loop: boolean;
  readonly onLoop: (loop: boolean) => void;
}) {
  const { player, alone, slow, loop, onLoop } = props;
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
      {!alone && (
        <label>
          <input type="checkbox" checked={loop} onChange={(e) => onLoop(e.target.checked)} />
          <span>Again and again</span>
        </label>
      )}
    </>
  );
}

function SpaceBar(props: { readonly press: () => void; readonly scoreId: string }) {
  useSpaceBar(props.press, props.scoreId);
  return null;
}
