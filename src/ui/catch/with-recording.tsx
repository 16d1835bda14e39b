import { useEffect, useRef, useState } from 'react';
import type { AsPlayed } from '../../core/heard/played';
import type { CaughtPhrase } from '../../io/heard/phrases';
import { playedFor, secondsOf } from '../../io/heard/played-for';
import { putRecording, recordingOf } from '../../storage/recordings';
import { type App, useApp } from '../frame/app-context';
import type { BackAlong } from './keep-caught';
import { bytesASecond, soundFor } from './keep-recording';
import type { CaughtTake } from './messages';
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

/** A phrase that goes into the library, and the id that it has there. */
export interface ToKeep {
  readonly caught: CaughtPhrase;
  readonly id: string;
}

/**
 * Whether recordings are kept, and what keeps how phrases were played, with their recordings if so.
 * @param changed What the player changed of a phrase, in words.
 */
export function useKeepPlayed(
  { bars }: Pick<CaughtTake, 'bars'>,
  sound: Sound | null,
  out: ReadonlySet<number>,
  changed: (id: string) => readonly string[],
) {
  const app = useApp();
  const [withSound, setWithSound] = useState(false);
  const left = out.size === 0 ? [] : [`${out.size} ${out.size === 1 ? 'note' : 'notes'} taken out`];
  const keepPlayed = useSteady((all: readonly ToKeep[]) =>
    keepAllPlayed(
      app,
      all.map(({ caught, id }) => ({
        caught,
        id,
        played: playedFor(caught, id, bars, app.now(), [...left, ...changed(caught.phrase.id)]),
      })),
      withSound ? sound : null,
    ),
  );
  return { withSound, setWithSound, keepPlayed };
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
 * Keeps how phrases were played on this device, before the phrases: a page that is left in between has lost nothing.
 * What does not work is said, and holds nothing up.
 * @param sound Of all of it, where recordings are kept.
 * @returns the way back to how they were said to be played before; the sound is the same one and stays.
 */
async function keepAllPlayed(
  app: App,
  all: readonly (ToKeep & { readonly played: AsPlayed })[],
  sound: Sound | null,
): Promise<BackAlong> {
  const before = await playedBefore(all.map(({ id }) => id));
  const silent: unknown[] = [];
  let lost = 0;
  for (const { caught, id, played } of all) {
    try {
      if (sound !== null) {
        const made = soundFor(caught, id, sound);
        await inTime(made.then((s) => putRecording({ played, sound: s })));
        continue;
      }
    } catch (e) {
      silent.push(e);
    }
    // Where there is no room for the recording there most often is for this.
    await putRecording({ played, sound: null }).catch(() => {
      lost++;
    });
  }
  if (silent.length > 0) {
    const none =
      all.length === 1
        ? 'The recording was not kept.'
        : `The recordings of ${silent.length} phrases were not kept.`;
    const full = silent.some((e) => e instanceof DOMException && e.name === 'QuotaExceededError');
    app.notices.trouble(none, [
      full
        ? 'There is no room for it on this device beside the library.'
        : 'This browser did not take it.',
    ]);
  }
  if (lost > 0) {
    app.notices.trouble('How it was played was not kept.', ['This browser did not take it.']);
  }
  return async (ids) => {
    for (const id of ids) {
      const played = before.get(id);
      // What cannot be put back stays as it was corrected: it belongs to the same notes.
      if (played !== undefined) await putRecording({ played, sound: null }).catch(() => {});
    }
  };
}

/** How phrases are said to have been played, of those of which it is known here. */
async function playedBefore(ids: readonly string[]): Promise<ReadonlyMap<string, AsPlayed>> {
  const all = await Promise.all(ids.map((id) => recordingOf(id).catch(() => null)));
  return new Map(
    all.flatMap((r, i) => (r === null || r.played === null ? [] : [[ids[i]!, r.played] as const])),
  );
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
