import { useCallback, useEffect, useId, useMemo, useState } from 'react';
import { isCompound } from '../../core/phrase/time';
import type { Meter } from '../../core/phrase/types';
import { useApp, usePageTitle } from '../frame/app-context';
import type { RouteOf } from '../frame/route';
import { problemText } from '../shared/words';
import '../shared/pages.css';
import './catch.css';
import { Listening } from './listening';
import type { CatchSaid } from './messages';
import { soundOfFile } from './microphone';
import { PlayAlong } from './play-along';
import { Taken } from './taken';
import { TapTempo } from './tap-tempo';
import type { ReadAs } from './tempo-readings';
import { type EarState, useEar } from './use-ear';

/** Metres that can be said of a recording. */
const METERS: Readonly<Record<string, Meter>> = {
  '4/4': { beats: 4, beatType: 4 },
  '3/4': { beats: 3, beatType: 4 },
  '2/4': { beats: 2, beatType: 4 },
  '5/4': { beats: 5, beatType: 4 },
  '6/8': { beats: 6, beatType: 8 },
  '9/8': { beats: 9, beatType: 8 },
  '12/8': { beats: 12, beatType: 8 },
};
const USUAL_METER = '4/4';
/** What is in three where nobody has said how long its bars are. */
const METER_IN_THREE = '12/8';

interface Fields {
  readonly tempo: string;
  readonly meter: string;
  readonly lane: string;
  readonly key: string;
}

function saidOf({ tempo, meter, lane, key }: Fields): CatchSaid {
  const known = tempo.trim() !== '' && isTempo(tempo);
  return {
    lane: lane.trim(),
    key: key.trim(),
    ...(known ? { bpm: Number(tempo) } : {}),
    ...(meter === USUAL_METER ? {} : { meter: METERS[meter]! }),
  };
}

/** What stands in the fields when this has been said. */
const fieldsOf = ({ bpm, meter, lane, key }: CatchSaid): Fields => ({
  tempo: bpm === undefined ? '' : String(bpm),
  meter: meter === undefined ? USUAL_METER : `${meter.beats}/${meter.beatType}`,
  lane,
  key,
});

/** The fields in which a recording is read in another tempo. */
function readAs({ meter }: Fields, { bpm, threes, found }: ReadAs): Partial<Fields> {
  const fits = isCompound(METERS[meter]!) === threes;
  return {
    tempo: found ? '' : String(bpm),
    meter: fits ? meter : threes ? METER_IN_THREE : USUAL_METER,
  };
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
  const ear = useEar();
  const { state, set, tell, sounds } = ear;
  const [fields, setFields] = useState<Fields>({
    tempo: '',
    meter: USUAL_METER,
    lane: '',
    key: '',
  });
  const [out, setOut] = useState<ReadonlySet<number>>(new Set());
  const [round, setRound] = useState(0);
  const said = useMemo(() => saidOf(fields), [fields]);
  const begin = useCallback(() => {
    setOut(new Set());
    setRound((n) => n + 1);
  }, []);
  const keep = useCallback(() => {
    begin();
    set({ share: 0, take: null, remembered: state.listening });
    const now = app.now();
    tell({ kind: 'keep', said, title: `Caught ${now.slice(0, 10)}`, now, clock: sounds.clock() });
  }, [app, begin, said, set, state.listening, tell, sounds]);
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
  // What could not be written again leaves out what the last one did.
  const { problems, take } = state;
  useEffect(() => {
    if (problems.length > 0 && take !== null) setOut(new Set(take.without));
  }, [problems, take]);
  const again = (without: ReadonlySet<number>) => {
    setOut(without);
    tell({ kind: 'again', said, without: [...without] });
  };
  const rewrite = (part: Partial<Fields>) => {
    const now = { ...fields, ...part };
    setFields(now);
    tell({ kind: 'again', said: saidOf(now), without: [...out] });
  };
  return (
    <article className="page catch-page">
      <Opening />
      <Listening ear={ear} keep={keep} />
      {state.listening && (
        <PlayAlong ear={ear} said={said} onSaid={(part) => setFields({ ...fields, ...part })} />
      )}
      <FromFile onFile={(file) => void openFile(file)} />
      <Said
        fields={fields}
        onChange={setFields}
        onWrite={state.take === null ? null : () => again(out)}
      />
      <Now problems={state.problems} share={state.share} />
      {state.take === null ? null : (
        <Taken
          key={round}
          take={state.take}
          sound={state.sound}
          render={ear.render}
          out={out}
          again={again}
          putBack={(before) => {
            setOut(before.out);
            // What is written next is written over the same chords again, else all would be lost anew.
            setFields(fieldsOf(before.take.said));
            set({ take: before.take });
          }}
          over={(lane) => rewrite({ lane })}
          readAs={(as) => rewrite(readAs(fields, as))}
          route={route}
        />
      )}
    </article>
  );
}

/** What went wrong, and how far what is at work has come. */
function Now({ problems, share }: Pick<EarState, 'problems' | 'share'>) {
  return (
    <>
      {problems.length > 0 && (
        <p role="alert" className="problem">
          {problems.map(problemText).join(' ')}
        </p>
      )}
      {share === null ? null : <p role="status">Listening to it: {Math.round(100 * share)}% …</p>}
    </>
  );
}

function Opening() {
  return (
    <header>
      <h1>Catch it</h1>
      <p>
        Play, and keep what you just played as phrases. One guitar alone is heard best. The sound
        stays on this device, and is forgotten when you leave this page unless you keep it with a
        phrase.
      </p>
    </header>
  );
}

function FromFile({ onFile }: { readonly onFile: (file: File | undefined) => void }) {
  return (
    <p className="catch-file">
      <label>
        <span>Or a recording from a file</span>
        <input
          type="file"
          accept="audio/*,.wav,.flac,.mp3,.ogg,.m4a"
          onChange={(e) => onFile(e.target.files?.[0])}
        />
      </label>
    </p>
  );
}

/** What the player says of the recording. */
function Said(props: {
  readonly fields: Fields;
  readonly onChange: (fields: Fields) => void;
  /** Writes what was caught again with these; null while nothing was caught. */
  readonly onWrite: (() => void) | null;
}) {
  const { fields, onChange, onWrite } = props;
  return (
    <form
      className="catch-fields"
      onSubmit={(e) => {
        e.preventDefault();
        if (isTempo(fields.tempo)) onWrite?.();
      }}
    >
      <Field
        label="Beats a minute"
        hint="found when empty"
        value={fields.tempo}
        wrong={isTempo(fields.tempo) ? null : 'A number from 20 to 400.'}
        onChange={(tempo) => onChange({ ...fields, tempo })}
      />
      <TapTempo onTempo={(tempo) => onChange({ ...fields, tempo })} />
      <label>
        <span>Metre</span>
        <select
          value={fields.meter}
          onChange={(e) => onChange({ ...fields, meter: e.target.value })}
        >
          {Object.keys(METERS).map((m) => (
            <option key={m}>{m}</option>
          ))}
        </select>
      </label>
      <Field
        label="Chords, going round"
        hint="I7 | IV7 | I7 V7"
        value={fields.lane}
        onChange={(lane) => onChange({ ...fields, lane })}
      />
      <Field
        label="Key"
        hint="guessed when empty"
        value={fields.key}
        onChange={(key) => onChange({ ...fields, key })}
      />
      {onWrite === null ? null : <button type="submit">Write it again with these</button>}
    </form>
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
