import { useCallback, useMemo, useState } from 'react';
import { barSpans } from '../../../core/phrase/time';
import type { Phrase } from '../../../core/phrase/types';
import type { Stretch } from '../../../core/practice/types';

/** First and last bar that are played; null where all of it is, with its repeats. */
export type BarRange = readonly [first: number, last: number] | null;

/** Bars of a phrase that are to be heard, chosen on its page. */
export interface UseStretch {
  readonly range: BarRange;
  readonly setRange: (range: BarRange) => void;
  readonly stretch: Stretch | null;
  /** Numbers of the bars, the pickup 0. */
  readonly bars: readonly number[];
}

/** The bars of a phrase that are played alone, and what chooses them. */
export function useStretch(phrase: Phrase): UseStretch {
  const [wished, setRange] = useState<BarRange>(null);
  return useStretchOf(phrase, wished, setRange);
}

/** The same where what is chosen stands elsewhere. */
export function useStretchOf(
  phrase: Phrase,
  wished: BarRange,
  setRange: (range: BarRange) => void,
): UseStretch {
  const spans = useMemo(() => barSpans(phrase), [phrase]);
  const range = useMemo(() => within(wished, spans.at(-1)?.number ?? 1), [wished, spans]);
  const stretch = useMemo((): Stretch | null => {
    if (range === null) return null;
    const own = spans.filter((s) => s.number >= range[0] && s.number <= range[1]);
    return { from: own[0]?.start ?? 0, to: own.at(-1)?.end ?? phrase.length, fills: 'bar' };
  }, [range, spans, phrase.length]);
  const bars = useMemo(() => spans.map((s) => s.number), [spans]);
  return { range, setRange, stretch, bars };
}

/** A phrase that has become shorter has no bars beyond its end. */
function within(range: BarRange, last: number): BarRange {
  if (range === null || range[0] > last) return null;
  return range[1] > last ? [range[0], last] : range;
}

/** From which bar to which bar it is played; nothing for a phrase of one bar. */
export function StretchFields({ of }: { readonly of: UseStretch }) {
  const { range, setRange, bars } = of;
  const first = bars[0] ?? 1;
  const last = bars.at(-1) ?? 1;
  const set = useCallback(
    (from: number, to: number) =>
      setRange(from === first && to === last ? null : [from, Math.max(from, to)]),
    [setRange, first, last],
  );
  if (bars.length < 2) return null;
  const [from, to] = range ?? [first, last];
  return (
    <fieldset className="listen-bars">
      <legend className="unseen">Which bars are heard</legend>
      <BarChoice label="Bars" value={from} bars={bars} onChange={(n) => set(n, to)} />
      <BarChoice
        label="to"
        value={to}
        bars={bars.filter((b) => b >= from)}
        onChange={(n) => set(from, n)}
      />
    </fieldset>
  );
}

function BarChoice(props: {
  readonly label: string;
  readonly value: number;
  readonly bars: readonly number[];
  readonly onChange: (bar: number) => void;
}) {
  const { label, value, bars, onChange } = props;
  return (
    <label>
      <span>{label}</span>
      <select value={value} onChange={(e) => onChange(Number(e.target.value))}>
        {bars.map((b) => (
          <option key={b} value={b}>
            {b === 0 ? 'pickup' : b}
          </option>
        ))}
      </select>
    </label>
  );
}
