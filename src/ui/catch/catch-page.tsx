import { useCallback, useEffect, useId, useMemo, useState } from 'react';
import type { HeardNote } from '../../core/heard/types';
import { notesOf } from '../../core/phrase/walk';
import { chordSign } from '../../core/theory/chord';
import { pitchOfMidi } from '../../core/theory/pitch';
import type { CaughtPhrase } from '../../io/heard/phrases';
import { TYPESET, typesetText } from '../../io/text/signs';
import { useApp, usePageTitle } from '../frame/app-context';
import { keepAllAsNew, keepAsNew } from '../frame/keep-as-new';
import { usePlayer } from '../frame/listen/use-player';
import type { RouteOf } from '../frame/route';
import { ScoreView } from '../score/score-view';
import { Sounding } from '../score/sounding';
import { titleOf } from '../shared/facts';
import { problemText } from '../shared/words';
import '../shared/pages.css';
import './catch.css';
import { useRecording } from './hear-recording';
import type { CatchSaid, CaughtTake } from './messages';
import { inputs, soundOfFile } from './microphone';
import { type DrawnNote, PitchPicture } from './pitch-picture';
import { type EarState, type Sound, useEar } from './use-ear';

/** Notes of which the model is less sure than this are asked about. */
const SURE = 0.62;

interface Fields {
  readonly tempo: string;
  readonly lane: string;
  readonly key: string;
}

function saidOf({ tempo, lane, key }: Fields): CatchSaid {
  const known = tempo.trim() !== '' && isTempo(tempo);
  return { lane: lane.trim(), key: key.trim(), ...(known ? { bpm: Number(tempo) } : {}) };
}

/** Beats a minute; nothing written means that it is to be found. */
function isTempo(text: string): boolean {
  const bpm = Number(text);
  return text.trim() === '' || (bpm >= 20 && bpm <= 400);
}

/** `#/catch`: hears a guitar and makes phrases of what was played. */
export function CatchPage({ route }: { readonly route: RouteOf<'catch'> }) {
  usePageTitle('Catch it');
  const app = useApp();
  const { state, set, tell, listen, stop } = useEar();
  const [fields, setFields] = useState<Fields>({ tempo: '', lane: '', key: '' });
  const [out, setOut] = useState<ReadonlySet<number>>(new Set());
  const [round, setRound] = useState(0);
  const said = useMemo(() => saidOf(fields), [fields]);
  const begin = useCallback(() => {
    setOut(new Set());
    setRound((n) => n + 1);
  }, []);
  const keep = useCallback(() => {
    begin();
    set({ share: 0, take: null });
    const now = app.now();
    tell({ kind: 'keep', said, title: `Caught ${now.slice(0, 10)}`, now });
  }, [app, begin, said, set, tell]);
  const openFile = async (file: File | undefined) => {
    if (file === undefined) return;
    begin();
    set({ share: 0, take: null, problems: [] });
    try {
      const sound = await soundOfFile(file);
      const title = file.name.replace(/\.[^.]*$/u, '');
      tell({ kind: 'file', ...sound, said, title, now: app.now() }, [sound.samples.buffer]);
    } catch (e) {
      set({ share: null, problems: [{ message: e instanceof Error ? e.message : String(e) }] });
    }
  };
  const again = (without: ReadonlySet<number>) => {
    setOut(without);
    tell({ kind: 'again', said, without: [...without] });
  };
  return (
    <article className="page catch-page">
      <header>
        <h1>Catch it</h1>
        <p>
          Play, and keep what you just played as phrases. One guitar alone is heard best. The sound
          stays on this device, and is forgotten when you leave this page.
        </p>
      </header>
      <Listening state={state} listen={listen} stop={stop} keep={keep} />
      <p className="catch-file">
        <label>
          <span>Or a recording from a file</span>
          <input
            type="file"
            accept="audio/*,.wav,.flac,.mp3,.ogg,.m4a"
            onChange={(e) => void openFile(e.target.files?.[0])}
          />
        </label>
      </p>
      <form
        className="catch-fields"
        onSubmit={(e) => {
          e.preventDefault();
          if (isTempo(fields.tempo)) again(out);
        }}
      >
        <Field
          label="Beats a minute"
          hint="found when empty"
          value={fields.tempo}
          wrong={isTempo(fields.tempo) ? null : 'A number from 20 to 400.'}
          onChange={(tempo) => setFields({ ...fields, tempo })}
        />
        <Field
          label="Chords, going round"
          hint="I7 | IV7 | I7 V7"
          value={fields.lane}
          onChange={(lane) => setFields({ ...fields, lane })}
        />
        <Field
          label="Key"
          hint="guessed when empty"
          value={fields.key}
          onChange={(key) => setFields({ ...fields, key })}
        />
        {state.take === null ? null : <button type="submit">Write it again with these</button>}
      </form>
      {state.problems.length > 0 && (
        <p role="alert" className="problem">
          {state.problems.map(problemText).join(' ')}
        </p>
      )}
      {state.share === null ? null : (
        <p role="status">Listening to it: {Math.round(100 * state.share)}% …</p>
      )}
      {state.take === null ? null : (
        <Taken
          key={round}
          take={state.take}
          sound={state.sound}
          out={out}
          again={again}
          route={route}
        />
      )}
    </article>
  );
}

function Field(props: {
  readonly label: string;
  readonly hint: string;
  readonly value: string;
  /** What it must be, where it is not. */
  readonly wrong?: string | null;
  readonly onChange: (value: string) => void;
}) {
  const { wrong = null } = props;
  const about = useId();
  return (
    <label>
      <span>{props.label}</span>
      <input
        type="text"
        value={props.value}
        placeholder={props.hint}
        aria-invalid={wrong !== null}
        aria-describedby={about}
        onChange={(e) => props.onChange(e.target.value)}
      />
      <span id={about} className={wrong === null ? undefined : 'problem'}>
        {wrong}
      </span>
    </label>
  );
}

function Listening(props: {
  readonly state: EarState;
  readonly listen: (input: string) => Promise<void>;
  readonly stop: () => void;
  readonly keep: () => void;
}) {
  const { state, listen, stop, keep } = props;
  const [input, setInput] = useState('');
  const [known, setKnown] = useState<Awaited<ReturnType<typeof inputs>>>([]);
  const { listening } = state;
  useEffect(() => {
    if (listening) void inputs().then(setKnown);
  }, [listening]);
  const decibels = Math.max(-60, 20 * Math.log10(Math.max(1e-6, state.level)));
  return (
    <section aria-labelledby="catch-listen">
      <h2 id="catch-listen">Microphone or other input</h2>
      <p className="buttons">
        {listening ? (
          <>
            <button type="button" className="strong" onClick={keep}>
              Keep what I just played
            </button>
            <button type="button" onClick={stop}>
              Stop listening
            </button>
          </>
        ) : (
          <button type="button" className="strong" onClick={() => void listen(input)}>
            Listen to my guitar
          </button>
        )}
        {known.length > 1 && (
          <label>
            <span>Input</span>
            <select
              value={input}
              onChange={(e) => {
                setInput(e.target.value);
                if (listening) void listen(e.target.value);
              }}
            >
              <option value="">the usual one</option>
              {known.map((k) => (
                <option key={k.id} value={k.id}>
                  {k.name}
                </option>
              ))}
            </select>
          </label>
        )}
      </p>
      {listening && (
        <>
          <p className="catch-level">
            <label>
              <span>Level</span>
              <meter min={-60} max={0} low={-45} high={-3} optimum={-18} value={decibels}>
                {Math.round(decibels)} dB
              </meter>
            </label>
            {/* One line, so that nothing jumps while one plays. */}
            <span className="quiet">
              {state.clipped
                ? 'It was too loud: turn the input down.'
                : state.silent
                  ? 'Nothing is heard: check which input is chosen, and turn it up.'
                  : state.slow
                    ? 'This browser hears slowly: notes are shown only when you keep them.'
                    : 'The last five minutes are remembered.'}
            </span>
          </p>
          <ol className="catch-live" aria-label="Notes as they are heard">
            {state.live.map((n, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: they only ever come and go at the ends
              <li key={i}>
                {pitchName(n.midi)}
                {n.technique === '' ? '' : ` ${n.technique}`}
              </li>
            ))}
          </ol>
        </>
      )}
    </section>
  );
}

/** Of a note without a chord or key as yet. */
const pitchName = (midi: number): string => TYPESET.pitch(pitchOfMidi(midi, 'flat'));

function Taken(props: {
  readonly take: CaughtTake;
  readonly sound: Sound | null;
  readonly out: ReadonlySet<number>;
  readonly again: (without: ReadonlySet<number>) => void;
  readonly route: RouteOf<'catch'>;
}) {
  const { take, sound, out, again, route } = props;
  const app = useApp();
  const [right, setRight] = useState<ReadonlySet<number>>(new Set());
  const [chosen, setChosen] = useState<number | null>(null);
  const unsure = take.notes.flatMap((n, i) =>
    n.confidence < SURE && !out.has(i) && !right.has(i) ? [i] : [],
  );
  const next = () => setChosen(unsure.find((i) => i > (chosen ?? -1)) ?? unsure[0] ?? null);
  const isRight = () => {
    if (chosen === null) return;
    setRight(new Set([...right, chosen]));
    setChosen(unsure.find((i) => i > chosen) ?? unsure.find((i) => i !== chosen) ?? null);
  };
  const takeOut = () => {
    if (chosen === null) return;
    again(new Set([...out, chosen]));
    setChosen(unsure.find((i) => i > chosen) ?? null);
  };
  useKeys({ n: next, y: isRight, x: takeOut });
  const note = chosen === null ? undefined : take.notes[chosen];
  const count = take.phrases.length;
  return (
    <section aria-labelledby="catch-result">
      <h2 id="catch-result">What was played</h2>
      <p role="status">{summary(take)}</p>
      {take.remarks.length > 0 && <p>The sound: {take.remarks.join('; ')}.</p>}
      <p className="buttons">
        <button type="button" onClick={next} disabled={unsure.length === 0}>
          Next unsure note (N)
        </button>
        <button type="button" onClick={isRight} disabled={note === undefined}>
          It is right (Y)
        </button>
        <button type="button" onClick={takeOut} disabled={note === undefined}>
          Take it out (X)
        </button>
        {out.size > 0 && (
          <button type="button" onClick={() => again(new Set())}>
            Put back what was taken out
          </button>
        )}
        {count > 1 && (
          <button
            type="button"
            className="strong"
            onClick={() =>
              void keepAllAsNew(
                app,
                take.phrases.map((p) => p.phrase),
              )
            }
          >
            Keep all {count} phrases
          </button>
        )}
      </p>
      <p className="quiet" aria-live="polite">
        {note === undefined
          ? unsure.length === 0
            ? 'No note is unsure.'
            : `${unsure.length} ${unsure.length === 1 ? 'note is' : 'notes are'} unsure, marked with ?.`
          : `${pitchName(Math.round(note.pitch))} at ${note.onset.toFixed(1)} s, ${Math.round(100 * note.confidence)}% sure.`}
      </p>
      {take.phrases.map((p) => (
        <Caught
          key={p.from}
          caught={p}
          take={take}
          sound={sound}
          unsure={unsure}
          chosen={chosen}
          onChoose={setChosen}
          route={route}
        />
      ))}
    </section>
  );
}

/** Single keys, while nothing is written into a field. */
function useKeys(keys: Readonly<Record<string, () => void>>): void {
  useEffect(() => {
    const press = (e: KeyboardEvent) => {
      const typing = e.target instanceof HTMLElement && e.target.matches('input, select, textarea');
      if (typing || e.ctrlKey || e.metaKey || e.altKey || e.defaultPrevented) return;
      const run = keys[e.key];
      if (run === undefined) return;
      e.preventDefault();
      run();
    };
    window.addEventListener('keydown', press);
    return () => window.removeEventListener('keydown', press);
  });
}

function summary(take: CaughtTake): string {
  const { phrases, bpm, bpmFound, fits, key, keyFound, feel } = take;
  const count = `${phrases.length} ${phrases.length === 1 ? 'phrase' : 'phrases'}`;
  const tempo = `${bpm} beats a minute${bpmFound ? ' (found)' : ''}`;
  const doubt = fits ? '' : ' The beat does not fit well: say the tempo above.';
  const name = `${typesetText(key)}${keyFound ? ' (guessed)' : ''}`;
  return `${count}, ${tempo}, key of ${name}${feel === '' ? '' : `, ${feel}`}.${doubt}`;
}

function Caught(props: {
  readonly caught: CaughtPhrase;
  readonly take: CaughtTake;
  readonly sound: Sound | null;
  readonly unsure: readonly number[];
  readonly chosen: number | null;
  readonly onChoose: (index: number) => void;
  readonly route: RouteOf<'catch'>;
}) {
  const { caught, take, sound, unsure, chosen, onChoose, route } = props;
  const { phrase, from, to, chords } = caught;
  const app = useApp();
  const player = usePlayer(phrase);
  const recording = useRecording(sound);
  const drawn = useMemo((): readonly DrawnNote[] => {
    const key = (n: HeardNote) => `${n.onset} ${n.pitch}`;
    const names = new Map(
      notesOf(phrase).flatMap(({ note }) => {
        const heard = caught.heard.get(note.id);
        return heard === undefined || note.kind !== 'pitched'
          ? []
          : [[key(heard), TYPESET.pitch(note.pitch)] as const];
      }),
    );
    return take.notes.flatMap((heard, index) =>
      heard.onset < from - 0.1 || heard.onset > to
        ? []
        : [
            {
              index,
              heard,
              name: names.get(key(heard)) ?? '',
              unsure: unsure.includes(index),
            },
          ],
    );
  }, [caught, phrase, take, from, to, unsure]);
  const title = titleOf(phrase);
  return (
    <section className="caught" aria-label={title}>
      <h3>{title}</h3>
      <PitchPicture
        from={Math.max(0, from - 0.2)}
        to={to}
        bars={take.bars}
        notes={drawn}
        chosen={chosen}
        label={`Pitch over time of ${title}, with ${drawn.length} notes`}
        onChoose={onChoose}
      />
      <Sounding value={player.heard}>
        <ScoreView phrase={phrase} label={`Notes of ${title}`} staves="both" degrees="chord" />
      </Sounding>
      <p className="buttons">
        <button
          type="button"
          disabled={sound === null}
          onClick={() =>
            recording.playing ? recording.stop() : recording.play(Math.max(0, from - 0.1), to + 0.2)
          }
        >
          {recording.playing ? 'Stop the recording' : 'Hear the recording'}
        </button>
        <button type="button" onClick={player.toggle}>
          {player.way === null ? 'Hear the phrase' : 'Stop the phrase'}
        </button>
        <button type="button" className="strong" onClick={() => void keepAsNew(app, phrase, route)}>
          Keep it as a phrase
        </button>
      </p>
      {chords.length > 0 && (
        <p className="quiet">
          Perhaps over {chords.map((c) => chordSign(c.symbol)).join(' or ')}: write the chord above
          and have it written again, and every note has its degree.
        </p>
      )}
    </section>
  );
}
