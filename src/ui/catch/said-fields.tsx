import { useId } from 'react';
import { FASTEST, SLOWEST } from '../../core/edit/tempo-for';
import { problemText } from '../shared/words';
import { type Fields, isTempo, laneProblem, METERS, PLAYED_ON, readKey } from './said';
import { TapTempo } from './tap-tempo';

/** What the player says of the recording. */
export function SaidFields(props: {
  readonly fields: Fields;
  readonly onChange: (fields: Fields) => void;
  /** Writes what was caught again with these; null while nothing was caught. */
  readonly onWrite: (() => void) | null;
  /** Whether it was heard for another instrument than the one that is chosen. */
  readonly onAnew: boolean;
}) {
  const { fields, onChange, onWrite, onAnew } = props;
  const wrong = wrongIn(fields);
  return (
    <form
      className="catch-fields"
      onSubmit={(e) => {
        e.preventDefault();
        if (Object.values(wrong).every((w) => w === null)) onWrite?.();
        else e.currentTarget.querySelector<HTMLElement>('[aria-invalid=true]')?.focus();
      }}
    >
      <label>
        <span>Played on</span>
        <select
          value={fields.instrument}
          onChange={(e) => onChange({ ...fields, instrument: e.target.value })}
        >
          {Object.keys(PLAYED_ON).map((words) => (
            <option key={words}>{words}</option>
          ))}
        </select>
      </label>
      <Field
        label="Beats a minute"
        hint="found when empty"
        value={fields.tempo}
        wrong={wrong.tempo}
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
        wrong={wrong.lane}
        onChange={(lane) => onChange({ ...fields, lane })}
      />
      <Field
        label="Key"
        hint="guessed when empty"
        value={fields.key}
        wrong={wrong.key}
        onChange={(key) => onChange({ ...fields, key })}
      />
      {onWrite === null ? null : <button type="submit">Write it again with these</button>}
      <span role="status">{onAnew && 'It is heard anew for it.'}</span>
    </form>
  );
}

/** What must be written instead in each field; null where it can be read. */
function wrongIn(fields: Fields) {
  const lane = laneProblem(fields);
  const key = readKey(fields.key);
  return {
    tempo: isTempo(fields.tempo) ? null : `A number from ${SLOWEST} to ${FASTEST}.`,
    lane: lane && problemText(lane),
    key: key.ok ? null : problemText(key.problems[0]!),
  };
}

function Field(props: {
  readonly label: string;
  readonly hint: string;
  readonly value: string;
  /** What it must be, where it is not. */
  readonly wrong: string | null;
  readonly onChange: (value: string) => void;
}) {
  const { wrong } = props;
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
