import { useCallback, useEffect, useMemo, useRef } from 'react';
import { blockOf, chosenEvents } from '../../../core/edit/select';
import type { EditState } from '../../../core/edit/state';
import type { Phrase } from '../../../core/phrase/types';
import { endOf } from '../../../core/phrase/walk';
import { newChord, struckChord, struckNotes } from '../../../core/practice/strike';
import type { StringPart } from '../../../core/sound/parts';
import { TONES } from '../../../core/sound/tone';
import { useActions, useApp } from '../../frame/app-context';
import { Choice } from '../../frame/export/choice';
import { TONE_WORDS } from '../../frame/export/sound-fields';
import { listeningNow } from '../../frame/listen/listening';
import { type PlayWay, playing } from '../../frame/listen/playing';
import { tellWhy, usePlayer } from '../../frame/listen/use-player';
import { useSpaceBar } from '../../frame/listen/use-space-bar';
import type { Writer } from '../../frame/writing/writer';
import { useKept } from '../../shared/use-kept';

/** Where it is kept whether writing is heard. */
const SOUNDS = 'degreewise.write.sounds';

interface WriteSoundProps {
  readonly writer: Writer;
  /** Id of the score, which leaves the space bar to this. */
  readonly scoreId: string;
  readonly onDone: () => void;
}

/** Listening while one writes: to each note as it is written, and to all from the cursor on. */
export function WriteSound({ writer, scoreId, onDone }: WriteSoundProps) {
  const { state } = writer;
  const [sounds, setSounds] = useKept(SOUNDS, true);
  useWrittenHeard(state, sounds);
  const player = usePlayer(state.phrase);
  const silent = player.state === 'silent';
  const { play, stop } = player;
  const toggle = useCallback(() => {
    if (silent) play(wayFrom(state));
    else stop();
  }, [silent, play, stop, state]);
  useSpaceBar(toggle, scoreId);
  useActions(
    useMemo(
      () => [
        {
          id: 'write.listen',
          title: silent ? 'Listen from here, or to what is chosen' : 'Stop playing',
          group: 'Listen',
          words: 'play hear sound audio cursor selection',
          shownKey: 'Space',
          run: toggle,
        },
        {
          id: 'write.sounds',
          title: sounds ? 'Write in silence' : 'Hear each note and chord as it is written',
          group: 'Listen',
          words: 'sound mute quiet off on',
          run: () => setSounds(!sounds),
        },
      ],
      [silent, toggle, sounds, setSounds],
    ),
  );
  return (
    <p className="write-sound">
      <button
        type="button"
        aria-keyshortcuts="Space"
        onClick={() => {
          toggle();
          onDone();
        }}
      >
        {silent
          ? state.selection.corner === null
            ? 'Listen from here'
            : 'Listen to this'
          : 'Stop'}
      </button>
      <label>
        <input
          type="checkbox"
          checked={sounds}
          onChange={(e) => {
            setSounds(e.target.checked);
            onDone();
          }}
        />
        <span>Hear it as I write</span>
      </label>
      <Choice
        label="Tone"
        value={player.listening.tone}
        values={['own', ...TONES]}
        words={TONE_WORDS}
        onChange={(tone) => {
          player.set({ tone });
          onDone();
        }}
      />
    </p>
  );
}

/** The chosen block; else from the cursor on; else, behind the last note, all of it. */
function wayFrom(s: EditState): PlayWay {
  const { selection, phrase } = s;
  if (selection.corner !== null) {
    const { from, to } = blockOf(selection);
    const ends = chosenEvents(s).map(({ event }) => endOf(event));
    return { kind: 'listen', stretch: { from, to: Math.max(to + 1, ...ends), fills: 'beat' } };
  }
  const from = selection.cursor.onset;
  const last = Math.max(0, ...phrase.voices.flatMap((v) => v.events.map(endOf)));
  return { kind: 'listen', stretch: null, ...(from < last ? { from } : {}) };
}

/** Plays what was just written: the notes that are new or other than before, or the chord. */
function useWrittenHeard(state: EditState, on: boolean): void {
  const { notices } = useApp();
  const before = useRef(state.phrase);
  useEffect(() => {
    const was = before.current;
    before.current = state.phrase;
    if (!on || was === state.phrase) return;
    const part = writtenPart(was, state);
    if (part === null) return;
    playing
      .get()
      .then((player) => player.strike(part.is, part.as))
      .catch((reason: unknown) => tellWhy(notices, reason));
  }, [state, on, notices]);
}

function writtenPart(
  was: Phrase,
  { phrase, selection }: EditState,
): { readonly is: StringPart; readonly as: 'phrase' | 'comping' } | null {
  const chord = was.chords === phrase.chords ? null : newChord(was.chords, phrase.chords);
  const heard = chord === null ? null : struckChord(chord);
  if (heard !== null) return { is: heard, as: 'comping' };
  if (was.voices === phrase.voices || selection.fresh.length === 0) return null;
  const old = new Set(was.voices.flatMap((v) => v.events));
  const fresh = new Set(selection.fresh);
  const events = phrase.voices.flatMap((v) => v.events.filter((e) => !old.has(e)));
  const ids = events.flatMap((e) => e.notes.flatMap((n) => (fresh.has(n.id) ? [n.id] : [])));
  const notes = ids.length === 0 ? null : struckNotes(phrase, new Set(ids));
  if (notes === null) return null;
  const { tone } = listeningNow();
  return { is: tone === 'own' ? notes : { ...notes, tone }, as: 'phrase' };
}
