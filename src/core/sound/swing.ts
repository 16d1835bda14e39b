import { type BarSpan, barSpans, beatTicks, isCompound, meterTicks } from '../phrase/time';
import { type Feel, type Phrase, TICKS_PER_QUARTER, type Ticks, type Voice } from '../phrase/types';

/** Where a written moment of a voice sounds, in ticks that need not be whole. */
export type Swing = (tick: Ticks) => number;

const UNIT: Readonly<Record<Extract<Feel, { kind: 'swing' }>['unit'], Ticks>> = {
  eighth: TICKS_PER_QUARTER / 2,
  '16th': TICKS_PER_QUARTER / 4,
};

/**
 * Swing (T3): of every pair of eighths or 16ths the second begins at first : second of the pair. Only
 * moments on that grid move; a beat with a tuplet of this voice and compound meters are as written.
 * A finer moment in the second half stays where it is, unless the moved one would reach it: then the
 * second half is squeezed evenly, so that the order of notes never changes.
 */
export function swingOf(p: Phrase, voice: Voice): Swing {
  const { feel } = p;
  if (feel.kind === 'straight') return (tick) => tick;
  const unit = UNIT[feel.unit];
  const spans = barSpans(p);
  const moved = (2 * unit * feel.first) / (feel.first + feel.second);
  const moments = voice.events
    .flatMap((e) => [e.onset, e.onset + e.duration])
    .sort((a, b) => a - b);
  return (tick) => {
    const span = spanAt(spans, tick);
    if (span === undefined || isCompound(span.bar.meter)) return tick;
    const from = span.number === 0 ? span.end - meterTicks(span.bar.meter) : span.start;
    const pair = from + Math.floor((tick - from) / (2 * unit)) * 2 * unit;
    const within = tick - pair;
    if (within < unit || pair + 2 * unit > from + meterTicks(span.bar.meter)) return tick;
    if (hasTuplet(voice, span, pair, unit)) return tick;
    if (within === unit) return pair + moved;
    const first = firstFiner(moments, pair + unit, pair + 2 * unit);
    if (first === null || pair + moved < first) return tick;
    return pair + moved + ((within - unit) * (2 * unit - moved)) / unit;
  };
}

function spanAt(spans: readonly BarSpan[], tick: Ticks): BarSpan | undefined {
  let low = 0;
  let high = spans.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (spans[middle]!.start <= tick) low = middle;
    else high = middle - 1;
  }
  return spans[low];
}

/** The beat around a pair, a quarter or the pair itself where that is longer, holds a tuplet. */
function hasTuplet(voice: Voice, span: BarSpan, pair: Ticks, unit: Ticks): boolean {
  const from = span.number === 0 ? span.end - meterTicks(span.bar.meter) : span.start;
  const beat = Math.max(2 * unit, Math.min(beatTicks(span.bar.meter), TICKS_PER_QUARTER));
  const start = from + Math.floor((pair - from) / beat) * beat;
  return voice.tuplets.some((t) => t.onset < start + beat && t.onset + t.duration > start);
}

/** The first of the sorted moments between two, found by halves: a long phrase has thousands. */
function firstFiner(moments: readonly Ticks[], after: Ticks, before: Ticks): Ticks | null {
  let low = 0;
  let high = moments.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (moments[middle]! > after) high = middle;
    else low = middle + 1;
  }
  const first = moments[low];
  return first === undefined || first >= before ? null : first;
}
