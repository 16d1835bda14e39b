import { useState } from 'react';
import { BREATH, barsToCutBefore, type CutWay } from '../../core/edit/cut';
import { type Phrase, TICKS_PER_QUARTER } from '../../core/phrase/types';

/** What one begins with: a breath parts phrases. */
export const FIRST_WAY: CutWay = BREATH;

const RESTS: readonly { readonly quarters: number; readonly words: string }[] = [
  { quarters: 1 / 2, words: 'an eighth or longer' },
  { quarters: 1, words: 'a quarter or longer' },
  { quarters: 2, words: 'a half or longer' },
  { quarters: 4, words: 'a whole bar of 4/4 or longer' },
];

const KINDS: Readonly<Record<CutWay['kind'], string>> = {
  rests: 'where it rests',
  bars: 'behind every so many bars',
  before: 'before bars I choose',
};

interface Props {
  readonly phrase: Phrase;
  readonly way: CutWay;
  readonly onChange: (way: CutWay) => void;
}

/** Where the phrase is to be cut. */
export function CutFields({ phrase, way, onChange }: Props) {
  const kinds = Object.keys(KINDS) as CutWay['kind'][];
  const become = (kind: CutWay['kind']) => {
    if (kind === way.kind) return;
    if (kind === 'rests') onChange(BREATH);
    else if (kind === 'bars') onChange({ kind, bars: 4 });
    // Who goes on by hand begins where the machine has come to.
    else onChange({ kind, bars: barsToCutBefore(phrase, way) });
  };
  return (
    <div className="cut-fields">
      <label>
        <span>Cut</span>
        <select
          value={way.kind}
          onChange={(e) => become(kinds.find((k) => k === e.target.value) ?? way.kind)}
        >
          {kinds.map((k) => (
            <option key={k} value={k}>
              {KINDS[k]}
            </option>
          ))}
        </select>
      </label>
      {way.kind === 'rests' && (
        <label>
          <span>Rests of</span>
          <select
            value={way.least}
            onChange={(e) => onChange({ kind: 'rests', least: Number(e.target.value) })}
          >
            {RESTS.map(({ quarters, words }) => (
              <option key={words} value={quarters * TICKS_PER_QUARTER}>
                {words}
              </option>
            ))}
          </select>
        </label>
      )}
      {way.kind === 'bars' && <BarsField bars={way.bars} onChange={onChange} />}
      {way.kind === 'before' && (
        <BarToggles count={phrase.bars.length} bars={way.bars} onChange={onChange} />
      )}
    </div>
  );
}

/** What is typed stands there, also while it is no number yet: an emptied field can be filled anew. */
function BarsField(props: { readonly bars: number; readonly onChange: Props['onChange'] }) {
  const [typed, setTyped] = useState(String(props.bars));
  return (
    <label>
      <span>Bars</span>
      <input
        type="number"
        min={1}
        max={999}
        value={typed}
        onChange={(e) => {
          setTyped(e.target.value);
          const bars = Number(e.target.value);
          if (Number.isInteger(bars) && bars >= 1) props.onChange({ kind: 'bars', bars });
        }}
        onBlur={() => setTyped(String(props.bars))}
      />
    </label>
  );
}

/** So many bars are offered; nobody chooses among more by hand. */
const MOST_BARS = 400;

function BarToggles(props: {
  readonly count: number;
  readonly bars: readonly number[];
  readonly onChange: Props['onChange'];
}) {
  const { count, bars, onChange } = props;
  const chosen = new Set(bars);
  const numbers = Array.from(
    { length: Math.max(0, Math.min(count, MOST_BARS) - 1) },
    (_, i) => i + 2,
  );
  const toggle = (bar: number) => {
    const next = chosen.has(bar) ? bars.filter((b) => b !== bar) : [...bars, bar];
    onChange({ kind: 'before', bars: [...next].sort((a, b) => a - b) });
  };
  return (
    <fieldset className="cut-bars">
      <legend>A phrase begins in bar 1 and in bars</legend>
      {numbers.map((bar) => (
        <label key={bar}>
          <input type="checkbox" checked={chosen.has(bar)} onChange={() => toggle(bar)} />
          <span>{bar}</span>
        </label>
      ))}
    </fieldset>
  );
}
