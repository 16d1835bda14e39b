import { type KeyboardEvent, useId, useRef, useState } from 'react';
import { KINDS, type KindName } from '../../core/phrase/instruments';
import type { Problem } from '../../core/result';
import type { Struck } from '../../io/midi-in/gather';
import { MidiListening } from '../shared/midi-listening';
import { problemText } from '../shared/words';
import { askedFor, NECKS, neckOf, placePlayed, risesPlayed } from './played';
import './play-to-find.css';

const FRETS = Array.from({ length: 16 }, (_, fret) => fret);

interface Props {
  /** What is asked now. */
  readonly question: string;
  readonly onAsk: (question: string) => void;
}

/** Where the hand is taken to be before anything is played. */
const FIRST_FRET = 5;

/**
 * Finds what has the notes that are played one after the other, in any key: on a neck, by keys, as quick text or on
 * a MIDI instrument.
 */
export function PlayToFind({ question, onAsk }: Props) {
  const id = useId();
  const [kind, setKind] = useState<KindName>('guitar');
  const [text, setText] = useState('');
  const [lost, setLost] = useState(false);
  // What an instrument plays may come before the page is drawn again.
  const latest = useRef('');
  const instrument = neckOf(kind);
  const played = risesPlayed(text, instrument);
  const wrong = played.ok ? null : (played.problems[0] ?? null);
  const play = (next: string, on = instrument) => {
    latest.current = next;
    setText(next);
    setLost(false);
    const rises = risesPlayed(next, on);
    // Half a word is no question; the one before stays.
    if (rises.ok) onAsk(askedFor(rises.value, question));
  };
  const onStruck = (struck: readonly Struck[]) => {
    const top = struck.reduce((a, b) => (b.midi > a.midi ? b : a));
    const before = /:(\d+)\s*$/u.exec(latest.current)?.[1];
    const place = placePlayed(top, instrument, Number(before ?? FIRST_FRET));
    if (place === null) setLost(true);
    else play(`${latest.current} ${place.string}:${place.fret}`.trim());
  };
  const notes = text.trim().split(/\s+/u).filter(Boolean);
  return (
    <div className="play-to-find">
      <p className="quiet" id={`${id}-how`}>
        Play two notes or more. Enter takes the place under the focus, the arrow keys go from fret
        to fret and from string to string. Rhythm does not count.
      </p>
      <PlayedOn
        id={`${id}-kind`}
        kind={kind}
        onChoose={(chosen) => {
          setKind(chosen);
          // The same places are other notes there.
          play(text, neckOf(chosen));
        }}
      />
      <Neck
        strings={instrument.tuning.length}
        label={`Neck of ${KINDS[kind].title}`}
        notes={notes}
        describedBy={`${id}-how`}
        onPlay={(place) => play([...notes, place].join(' '))}
      />
      <AsText id={`${id}-text`} text={text} wrong={wrong} onPlay={play} />
      <p role="status">{played.ok && played.value.length > 0 ? riseWords(played.value) : ''}</p>
      <p className="buttons">
        <button
          type="button"
          disabled={notes.length === 0}
          onClick={() => play(notes.slice(0, -1).join(' '))}
        >
          Take the last note back
        </button>
        <button type="button" disabled={text === ''} onClick={() => play('')}>
          Play others
        </button>
      </p>
      <MidiListening
        strings={instrument.tuning.length}
        invitation="Or play it on a MIDI instrument: of what is struck together the highest note counts."
        onStruck={onStruck}
      />
      {lost && <p role="alert">{`That note does not lie on ${KINDS[kind].title}.`}</p>}
    </div>
  );
}

/** Which neck it is. */
function PlayedOn(props: {
  readonly id: string;
  readonly kind: KindName;
  readonly onChoose: (kind: KindName) => void;
}) {
  const { id, kind, onChoose } = props;
  return (
    <p>
      <label htmlFor={id}>Played on</label>{' '}
      <select
        id={id}
        value={kind}
        onChange={(e) => {
          const chosen = NECKS.find((k) => k === e.target.value);
          if (chosen !== undefined) onChoose(chosen);
        }}
      >
        {NECKS.map((k) => (
          <option key={k} value={k}>
            {KINDS[k].title}
          </option>
        ))}
      </select>
    </p>
  );
}

/** What was played, to be read and mended, with what is wrong in it. */
function AsText(props: {
  readonly id: string;
  readonly text: string;
  readonly wrong: Problem | null;
  readonly onPlay: (text: string) => void;
}) {
  const { id, text, wrong, onPlay } = props;
  return (
    <div className="play-text">
      <label htmlFor={id}>Played so far, as quick text</label>
      <input
        id={id}
        type="text"
        value={text}
        placeholder="3:5 3:7 2:6"
        autoComplete="off"
        autoCapitalize="off"
        spellCheck={false}
        aria-invalid={wrong === null ? undefined : true}
        aria-describedby={wrong === null ? undefined : `${id}-wrong`}
        onChange={(e) => onPlay(e.target.value)}
      />
      {wrong !== null && (
        <p className="problem" id={`${id}-wrong`}>
          {problemText(wrong)}
        </p>
      )}
    </div>
  );
}

/** `Looked for in any key: up 2, down 1, the same, in semitones.` */
function riseWords(rises: readonly number[]): string {
  const words = rises.map((r) => (r === 0 ? 'the same' : r > 0 ? `up ${r}` : `down ${-r}`));
  return `Looked for in any key: ${words.join(', ')}, in semitones.`;
}

/** A neck to tap: one stop for Tab, arrow keys inside. */
function Neck(props: {
  readonly strings: number;
  readonly label: string;
  readonly notes: readonly string[];
  readonly describedBy: string;
  readonly onPlay: (place: string) => void;
}) {
  const { notes, describedBy, onPlay } = props;
  const strings = Array.from({ length: props.strings }, (_, i) => i + 1);
  const [focused, setStop] = useState('3:5');
  // Another neck may have fewer strings.
  const stop = Number.parseInt(focused, 10) > strings.length ? '1:5' : focused;
  const onKeyDown = (e: KeyboardEvent<HTMLElement>) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const [string = 1, fret = 0] = stop.split(':').map(Number);
    const to = {
      ArrowRight: [string, fret + 1],
      ArrowLeft: [string, fret - 1],
      ArrowUp: [string - 1, fret],
      ArrowDown: [string + 1, fret],
      Home: [string, 0],
      End: [string, FRETS.length - 1],
    }[e.key];
    if (to === undefined) return;
    e.preventDefault();
    e.currentTarget.querySelector<HTMLElement>(`[data-place="${to.join(':')}"]`)?.focus();
  };
  return (
    <div className="play-neck-room">
      {/* biome-ignore lint/a11y/useSemanticElements: a set of fields is laid out in its own way. */}
      <div
        className="play-neck"
        role="group"
        aria-label={props.label}
        aria-describedby={describedBy}
        onKeyDown={onKeyDown}
      >
        {strings.map((string) =>
          FRETS.map((fret) => {
            const place = `${string}:${fret}`;
            const turns = notes.flatMap((n, i) => (n === place ? [i + 1] : []));
            const order = turns.length === 0 ? '' : `, note ${turns.join(' and ')}`;
            return (
              <button
                key={place}
                type="button"
                data-place={place}
                data-played={turns.length > 0}
                tabIndex={place === stop ? 0 : -1}
                aria-label={`String ${string}, fret ${fret}${order}`}
                onFocus={() => setStop(place)}
                onClick={() => onPlay(place)}
              >
                {turns.join(' ')}
              </button>
            );
          }),
        )}
        {FRETS.map((fret) => (
          <span key={fret} aria-hidden="true">
            {fret}
          </span>
        ))}
      </div>
    </div>
  );
}
