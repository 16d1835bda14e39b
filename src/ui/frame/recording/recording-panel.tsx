import { useCallback, useEffect, useRef, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import {
  type KeptRecording,
  putRecording,
  recordingOf,
  removeRecordings,
} from '../../../storage/recordings';
import { useApp } from '../app-context';
import { playerState, playing, subscribeToPlayer } from '../listen/playing';
import './recording.css';
import { type SoundingRecording, soundRecording } from './recording-sound';

/** Hears the recording that a phrase was caught from, slower and again and again, or deletes it. */
export function RecordingPanel({ phrase }: { readonly phrase: Phrase }) {
  const app = useApp();
  const { id } = phrase;
  const [kept, setKept] = useState<KeptRecording | 'unreadable' | null>(null);
  useEffect(() => {
    let shown = true;
    recordingOf(id).then(
      (found) => {
        if (shown) setKept(found);
      },
      () => {
        if (shown) setKept('unreadable');
      },
    );
    return () => {
      shown = false;
    };
  }, [id]);
  if (kept === null) return null;
  if (kept === 'unreadable') {
    return (
      <p role="alert" className="problem">
        The recordings on this device cannot be read now. Load the page again.
      </p>
    );
  }
  const bringBack = () => {
    putRecording(kept).then(
      () => setKept(kept),
      () => app.notices.trouble('The recording was not brought back.', [NO_ROOM]),
    );
  };
  const remove = () => {
    removeRecordings([id]).then(
      () => {
        setKept(null);
        // The button that was pressed is gone: the keyboard goes on from the page.
        document.querySelector('main')?.focus({ preventScroll: true });
        app.notices.done('The recording is deleted. The phrase stays.', {
          label: 'Undo',
          run: bringBack,
        });
      },
      () => app.notices.trouble('The recording was not deleted.', ['Try again.']),
    );
  };
  return <Kept kept={kept} onRemove={remove} />;
}

const NO_ROOM = 'There may be no room for it on this device.';

function Kept(props: { readonly kept: KeptRecording; readonly onRemove: () => void }) {
  const { kept, onRemove } = props;
  return (
    <section aria-labelledby="recording-kept" className="recording-kept">
      <h2 id="recording-kept">The recording it was caught from</h2>
      <Heard kept={kept} />
      <p className="buttons">
        <button type="button" onClick={onRemove}>
          Delete the recording ({sizeWords(kept.sound.byteLength)})
        </button>
      </p>
      <p className="quiet">
        It lies on this device only, beside the library, and is in no file of it. It goes when the
        phrase is deleted for good.
        {kept.corrected.length > 0 && ` Changed when it was caught: ${kept.corrected.join('; ')}.`}
      </p>
    </section>
  );
}

const SPEEDS = [100, 75, 50] as const;

/** The sound itself; slower it keeps its pitch. */
function Heard({ kept }: { readonly kept: KeptRecording }) {
  const [speed, setSpeed] = useState(100);
  const [again, setAgain] = useState(false);
  const { sounds, play, stop, now } = useKeptSound(kept);
  return (
    <p className="buttons">
      <button type="button" onClick={() => (sounds ? stop() : play({ speed, again }))}>
        {sounds ? 'Stop the recording' : 'Hear the recording'}
      </button>
      <label>
        <span>Speed of the recording</span>
        <select
          value={speed}
          onChange={(e) => {
            setSpeed(Number(e.target.value));
            now()?.slow(Number(e.target.value));
          }}
        >
          {SPEEDS.map((x) => (
            <option key={x} value={x}>
              {x}%
            </option>
          ))}
        </select>
      </label>
      <label>
        <input
          type="checkbox"
          checked={again}
          onChange={(e) => {
            setAgain(e.target.checked);
            now()?.repeat(e.target.checked);
          }}
        />
        <span>Again and again</span>
      </label>
    </p>
  );
}

/** Plays it in place of whatever is heard, and ends it when a phrase begins or the page is left. */
function useKeptSound({ sound, type }: KeptRecording) {
  const app = useApp();
  const [sounds, setSounds] = useState(false);
  const own = useRef<SoundingRecording | null>(null);
  const stop = useCallback(() => own.current?.stop(), []);
  useEffect(() => {
    const leave = subscribeToPlayer(() => {
      if (playerState() !== 'silent') stop();
    });
    return () => {
      leave();
      stop();
    };
  }, [stop]);
  const play = (way: { readonly speed: number; readonly again: boolean }) => {
    playing.known()?.stop();
    own.current = soundRecording(
      new Blob([sound], { type }),
      way,
      () => setSounds(false),
      () => app.notices.trouble('The recording was not played.', ['This browser cannot play it.']),
    );
    setSounds(true);
  };
  return { sounds, play, stop, now: () => (sounds ? own.current : null) };
}

function sizeWords(bytes: number): string {
  return bytes < 1e6
    ? `${Math.max(1, Math.round(bytes / 1000))} kB`
    : `${(bytes / 1e6).toFixed(1)} MB`;
}
