import { useId } from 'react';
import { READING_NAMES, setReading } from '../../core/edit/commands/degrees';
import { dot, setValue, toggleTriplets, VALUE_NAMES } from '../../core/edit/commands/values';
import { READINGS } from '../../core/edit/state';
import { NOTE_VALUES } from '../../core/phrase/note-value';
import type { Writer } from '../frame/writing/writer';

interface PenLineProps {
  readonly writer: Writer;
  /** Brings the focus back to the score. */
  readonly onDone: () => void;
}

/** How digits are read and what the next note gets, as a sentence whose words can be changed. */
export function PenLine({ writer, onDone }: PenLineProps) {
  const id = useId();
  const { pen } = writer.state;
  return (
    <p className="pen-line">
      <label htmlFor={`${id}-reading`}>Digits are</label>
      <select
        id={`${id}-reading`}
        value={pen.reading}
        onChange={(e) => {
          writer.run(setReading, e.target.value);
          onDone();
        }}
      >
        {READINGS.map((r) => (
          <option key={r} value={r}>
            {READING_NAMES[r]}
          </option>
        ))}
      </select>
      {pen.reading === 'finger' ? <span>with the hand at fret {pen.hand},</span> : null}
      {pen.reading === 'degree' && pen.alter !== 0 ? (
        <span>
          the next one <strong>{SIGNS[pen.alter]}</strong>,
        </span>
      ) : null}
      <span className="pen-value">
        <label htmlFor={`${id}-value`}>each</label>
        <select
          id={`${id}-value`}
          aria-label="Length of each note"
          value={pen.value}
          onChange={(e) => {
            writer.run(setValue, e.target.value);
            onDone();
          }}
        >
          {NOTE_VALUES.map((v) => (
            <option key={v} value={v}>
              {VALUE_NAMES[v]}
            </option>
          ))}
        </select>
      </span>
      {pen.dots === 1 ? (
        <Off
          label="dotted"
          title="Take the dot off"
          onClick={() => {
            writer.run(dot);
            onDone();
          }}
        />
      ) : null}
      {pen.tuplet === null ? null : (
        <Off
          label={`${pen.tuplet.actual} in the time of ${pen.tuplet.normal}`}
          title="Write plain values again"
          onClick={() => {
            writer.run(toggleTriplets);
            onDone();
          }}
        />
      )}
      {pen.flow === 'push' ? <span>pushing later notes on</span> : null}
    </p>
  );
}

const SIGNS = { [-2]: '♭♭', [-1]: '♭', 1: '♯', 2: '♯♯' } as const;

function Off(props: {
  readonly label: string;
  readonly title: string;
  readonly onClick: () => void;
}) {
  return (
    <button type="button" className="plain" title={props.title} onClick={props.onClick}>
      {props.label}
    </button>
  );
}
