import { useEffect, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import {
  type KeptRecording,
  putRecording,
  recordingOf,
  removeRecordings,
  removeSound,
} from '../../../storage/recordings';
import { useApp } from '../app-context';
import { HearPlayed } from './hear-played';
import './recording.css';

/**
 * How a phrase was played before it was written: a picture, heard again slower and over and over, with its recording where
 * one is kept; either can be deleted.
 */
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
  const { played, sound } = kept;
  if (played === null && sound === null) return <Damaged />;
  /** Deletes something and says so, with the way back. */
  const remove = (work: Promise<void>, left: KeptRecording | null, what: string) => {
    const bringBack = () => {
      putRecording(kept).then(
        () => setKept(kept),
        () => app.notices.trouble('It was not brought back.', [NO_ROOM]),
      );
    };
    work.then(
      () => {
        setKept(left);
        // The button that was pressed is gone: the keyboard goes on from the page.
        document.querySelector('main')?.focus({ preventScroll: true });
        app.notices.done(`${what} The phrase stays.`, { label: 'Undo', run: bringBack });
      },
      () => app.notices.trouble('It was not deleted.', ['Try again.']),
    );
  };
  return (
    <section aria-labelledby="recording-kept" className="recording-kept">
      <h2 id="recording-kept">As it was played</h2>
      <HearPlayed phrase={phrase} kept={kept} />
      <p className="buttons">
        {sound === null ? (
          <button
            type="button"
            onClick={() => remove(removeRecordings([id]), null, 'How it was played is deleted.')}
          >
            Delete how it was played
          </button>
        ) : (
          <button
            type="button"
            onClick={() =>
              remove(
                removeSound(id),
                played === null ? null : { played, sound: null },
                'The recording is deleted.',
              )
            }
          >
            Delete the recording ({sizeWords(sound.sound.byteLength)})
          </button>
        )}
      </p>
      <About kept={kept} />
    </section>
  );
}

/** Something is kept of it, and nothing of that can be read. */
function Damaged() {
  return (
    <p className="problem">
      How this phrase was played is kept on this device and cannot be read: it is damaged, or a
      newer release of the program keeps it. The phrase is whole. Bring in a backup from before to
      put it right.
    </p>
  );
}

const NO_ROOM = 'There may be no room for it on this device.';

/** Where it lies, and what was changed of it. */
function About({ kept: { played, sound } }: { readonly kept: KeptRecording }) {
  const corrected = played?.corrected ?? [];
  return (
    <p className="quiet">
      {played === null
        ? 'What was heard of it cannot be read, the recording can. '
        : 'The notes with their own times and pitches, as they were heard; how loud they were is not known. They are in backups of the library, and go when the phrase is deleted for good.'}
      {sound !== null &&
        ' The recording lies on this device only, beside the library, and is in no file of it. It goes with the phrase, too.'}
      {corrected.length > 0 && ` Changed when it was caught: ${corrected.join('; ')}.`}
    </p>
  );
}

function sizeWords(bytes: number): string {
  return bytes < 1e6
    ? `${Math.max(1, Math.round(bytes / 1000))} kB`
    : `${(bytes / 1e6).toFixed(1)} MB`;
}
