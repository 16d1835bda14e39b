import { useEffect, useRef, useState } from 'react';
import type { CaughtPhrase } from '../../io/heard/phrases';
import { putRecording } from '../../storage/recordings';
import { type App, useApp } from '../frame/app-context';
import { bytesASecond, recordingFor, secondsOf } from './keep-recording';
import type { Sound } from './use-ear';
import { useSteady } from './use-steady';

/** Whether recordings are kept with phrases, and what that takes. */
export function WithRecording(props: {
  readonly phrases: readonly CaughtPhrase[];
  readonly on: boolean;
  readonly onChange: (on: boolean) => void;
}) {
  const { phrases, on, onChange } = props;
  const [rate, setRate] = useState<number | null>(null);
  useEffect(() => {
    let shown = true;
    void bytesASecond().then((known) => {
      if (shown) setRate(known);
    });
    return () => {
      shown = false;
    };
  }, []);
  const seconds = phrases.reduce((sum, p) => sum + secondsOf(p), 0);
  const size =
    rate === null ? '' : `, about ${Math.max(1, Math.round((seconds * rate) / 1000))} kB`;
  return (
    <label>
      <input type="checkbox" checked={on} onChange={(e) => onChange(e.target.checked)} />
      <span>
        Keep the recording with {phrases.length === 1 ? 'the phrase' : 'the phrases'}
        {size}
      </span>
    </label>
  );
}

/**
 * Whether recordings are kept, and what keeps those of phrases if so.
 * @param changed What the player changed of a phrase, in words.
 */
export function useKeepSound(
  sound: Sound | null,
  out: ReadonlySet<number>,
  changed: (id: string) => readonly string[],
) {
  const app = useApp();
  const [withSound, setWithSound] = useState(false);
  const left = out.size === 0 ? [] : [`${out.size} ${out.size === 1 ? 'note' : 'notes'} taken out`];
  const corrected = (id: string) => [...left, ...changed(id)];
  const keepSound = useSteady(async (phrases: readonly CaughtPhrase[]) => {
    if (withSound && sound !== null) await keepRecordings(app, phrases, sound, corrected);
  });
  return { withSound, setWithSound, keepSound };
}

/** Does something once, though it be asked for again before it is done. */
export function useOnce(work: () => Promise<unknown>): () => void {
  const busy = useRef(false);
  return () => {
    if (busy.current) return;
    busy.current = true;
    void work().finally(() => {
      busy.current = false;
    });
  };
}

/**
 * Keeps the recordings of phrases on this device, before the phrases: a page that is left in between has lost
 * nothing. What does not work is said, and holds nothing up.
 */
async function keepRecordings(
  app: App,
  phrases: readonly CaughtPhrase[],
  sound: Sound,
  corrected: (id: string) => readonly string[],
): Promise<void> {
  let done = 0;
  try {
    for (const p of phrases) {
      await inTime(recordingFor(p, sound, app.now(), corrected(p.phrase.id)).then(putRecording));
      done++;
    }
  } catch (e) {
    const none =
      phrases.length === 1
        ? 'The recording was not kept.'
        : `The recordings of ${phrases.length - done} phrases were not kept.`;
    app.notices.trouble(none, [
      e instanceof DOMException && e.name === 'QuotaExceededError'
        ? 'There is no room for it on this device beside the library.'
        : 'This browser did not take it.',
    ]);
  }
}

/** Milliseconds that a recording may take to be compressed and kept; usual are some hundred. */
const LONGEST = 30_000;

/** @throws where it takes too long. */
async function inTime(work: Promise<void>): Promise<void> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<never>((_, fail) => {
    timer = setTimeout(() => fail(new Error('a recording took too long')), LONGEST);
  });
  try {
    await Promise.race([work, late]);
  } finally {
    clearTimeout(timer);
  }
}
