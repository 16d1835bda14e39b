import { useId } from 'react';
import { type Mix, type PartName, USUAL_MIX } from '../../../core/sound/parts';

/** What a player calls the parts. */
const NAMES: Readonly<Record<PartName, string>> = {
  phrase: 'Phrase',
  bass: 'Bass',
  comping: 'Chords',
  drums: 'Drums',
  click: 'Metronome',
};

/** Decibels; the lowest is silence. */
const LEAST = -30;
const MOST = 6;

/** A level for every part that can be heard. */
export function MixerFields(props: {
  readonly parts: readonly PartName[];
  readonly mix: Mix;
  readonly onChange: (mix: Mix) => void;
}) {
  const { parts, mix, onChange } = props;
  return (
    <>
      {parts.map((part) => (
        <Level
          key={part}
          name={NAMES[part]}
          value={Math.max(LEAST, mix[part] - USUAL_MIX[part])}
          onChange={(n) =>
            onChange({
              ...mix,
              [part]: n <= LEAST ? Number.NEGATIVE_INFINITY : n + USUAL_MIX[part],
            })
          }
        />
      ))}
    </>
  );
}

/** @param value Decibels about the usual level. */
function Level(props: {
  readonly name: string;
  readonly value: number;
  readonly onChange: (n: number) => void;
}) {
  const { name, value, onChange } = props;
  const id = useId();
  const words = levelWords(value);
  return (
    <label className="practice-slider practice-level" htmlFor={id}>
      <span>{name}</span>
      <input
        id={id}
        type="range"
        min={LEAST}
        max={MOST}
        value={value}
        aria-valuetext={words}
        onChange={(e) => onChange(Number(e.target.value))}
      />
      <output htmlFor={id}>{words}</output>
    </label>
  );
}

function levelWords(n: number): string {
  if (n <= LEAST) return 'silent';
  return n === 0 ? 'as usual' : `${n > 0 ? '+' : '−'}${Math.abs(n)} dB`;
}
