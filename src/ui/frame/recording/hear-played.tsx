import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { type AsPlayed, curveOf } from '../../../core/heard/played';
import type { PlayedWay } from '../../../core/heard/played-course';
import type { Phrase } from '../../../core/phrase/types';
import { notesOf } from '../../../core/phrase/walk';
import type { KeptRecording, KeptSound } from '../../../storage/recordings';
import { titleOf } from '../../shared/facts';
import { useApp } from '../app-context';
import { playerState, playing, subscribeToPlayer } from '../listen/playing';
import { beatsAlong } from './beats-along';
import type { DrawnNote } from './note-names';
import { PitchPicture, writtenAs } from './pitch-picture';
import { type SoundingRecording, soundRecording } from './recording-sound';
import { useAsPlayed } from './use-as-played';

const SPEEDS = [100, 75, 50] as const;

/** The picture of how it was played, and that to be heard, by the player of the page or as it was recorded. */
export function HearPlayed(props: { readonly phrase: Phrase; readonly kept: KeptRecording }) {
  const { phrase, kept } = props;
  const [way, setWay] = useState<PlayedWay>({ speed: 100, again: false });
  const own = useAsPlayed(phrase, kept.played);
  const recorded = useKeptSound(kept.sound);
  const change = (part: Partial<PlayedWay>) => {
    const next = { ...way, ...part };
    setWay(next);
    own.goOn(next);
    recorded.now()?.slow(next.speed);
    recorded.now()?.repeat(next.again);
  };
  const heard = own.sounds ? own.position : recorded.sounds ? recorded.position : null;
  return (
    <>
      {kept.played === null ? null : (
        <Picture phrase={phrase} played={kept.played} position={heard} />
      )}
      <p className="buttons">
        {kept.played === null ? null : (
          <button type="button" onClick={() => (own.sounds ? own.stop() : own.begin(way))}>
            {own.sounds ? 'Stop it' : 'Hear it as it was played'}
          </button>
        )}
        {kept.sound === null ? null : (
          <button
            type="button"
            onClick={() => (recorded.sounds ? recorded.stop() : recorded.play(way))}
          >
            {recorded.sounds ? 'Stop the recording' : 'Hear the recording'}
          </button>
        )}
        <label>
          <span>Speed as played</span>
          <select value={way.speed} onChange={(e) => change({ speed: Number(e.target.value) })}>
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
            checked={way.again}
            onChange={(e) => change({ again: e.target.checked })}
          />
          <span>Again and again</span>
        </label>
      </p>
    </>
  );
}

/** Its notes on one axis of time, each with what it is written as now. */
function Picture(props: {
  readonly phrase: Phrase;
  readonly played: AsPlayed;
  readonly position: (() => number | null) | null;
}) {
  const { phrase, played, position } = props;
  const notes = useMemo(() => drawnNotes(phrase, played), [phrase, played]);
  if (notes.length === 0) return null;
  const to = Math.max(...notes.map((n) => n.heard.end));
  return (
    <PitchPicture
      from={Math.max(0, notes[0]!.heard.onset - 0.2)}
      to={to}
      beats={beatsAlong(phrase, played.bars, played.begin, to)}
      notes={notes}
      chosen={null}
      position={position}
      label={`Pitch over time of ${titleOf(phrase)} as it was played, with ${notes.length} notes`}
    />
  );
}

function drawnNotes(phrase: Phrase, { sounds }: AsPlayed): readonly DrawnNote[] {
  const names = new Map(
    notesOf(phrase).map(({ note }) => [note.id, note.kind === 'pitched' ? writtenAs(note) : '']),
  );
  return sounds.map((s, index) => ({
    index,
    heard: { ...s, curve: curveOf(s) },
    name: names.get(s.note) ?? '',
    unsure: false,
    sign: '',
  }));
}

/** Plays the recording in place of whatever is heard, and ends it when something else begins or the page is left. */
function useKeptSound(kept: KeptSound | null) {
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
  const play = (way: PlayedWay) => {
    if (kept === null) return;
    playing.known()?.stop();
    own.current = soundRecording(
      new Blob([kept.sound], { type: kept.type }),
      way,
      () => setSounds(false),
      () => app.notices.trouble('The recording was not played.', ['This browser cannot play it.']),
    );
    setSounds(true);
  };
  const position = useCallback(() => own.current?.now() ?? null, []);
  return { sounds, play, stop, position, now: () => (sounds ? own.current : null) };
}
