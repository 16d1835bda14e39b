import { type Bar, type Meter, type Phrase, TICKS_PER_QUARTER, type Ticks } from './types';

/** Length of a full bar. */
export function meterTicks(m: Meter): Ticks {
  return (m.beats * 4 * TICKS_PER_QUARTER) / m.beatType;
}

/** 6, 9 and 12 over 8 or 16 count dotted values (T2). */
export function isCompound(m: Meter): boolean {
  return (m.beatType === 8 || m.beatType === 16) && [6, 9, 12].includes(m.beats);
}

/** Length of the counted beat: the lower number's value, three of them in compound meter (T2). */
export function beatTicks(m: Meter): Ticks {
  return ((isCompound(m) ? 3 : 1) * 4 * TICKS_PER_QUARTER) / m.beatType;
}

/** Where a bar lies. Bar 0 is the pickup and exists only where there is one. */
export interface BarSpan {
  readonly number: number;
  readonly bar: Bar;
  readonly start: Ticks;
  readonly end: Ticks;
}

/** Every bar with its extent, the pickup first as bar 0; the last ends with the phrase. */
export function barSpans(p: Pick<Phrase, 'pickup' | 'bars' | 'length'>): readonly BarSpan[] {
  const spans: BarSpan[] = [];
  const first = p.bars[0];
  if (p.pickup > 0 && first !== undefined) {
    spans.push({ number: 0, bar: { meter: first.meter }, start: 0, end: p.pickup });
  }
  let at = p.pickup;
  p.bars.forEach((bar, i) => {
    const end = at + meterTicks(bar.meter);
    const last = i === p.bars.length - 1;
    spans.push({ number: i + 1, bar, start: at, end: last ? Math.min(end, p.length) : end });
    at = end;
  });
  return spans;
}

/** Bar number (0 = pickup) and beat (from 1, fractional) as a musician says it (T2). */
export interface Position {
  readonly bar: number;
  readonly beat: number;
}

/**
 * Position of an onset. The beats of the pickup are counted from its end, so that a single eighth
 * before 4/4 is beat 4.5 (T2). Onsets past the end are counted on in the last bar.
 */
export function positionOf(p: Pick<Phrase, 'pickup' | 'bars' | 'length'>, onset: Ticks): Position {
  const span = barAt(p, onset);
  const meter = span.bar.meter;
  const from = span.number === 0 ? span.end - meterTicks(meter) : span.start;
  return { bar: span.number, beat: (onset - from) / beatTicks(meter) + 1 };
}

/** The bar an onset lies in; the last one for onsets at or past the end. */
export function barAt(p: Pick<Phrase, 'pickup' | 'bars' | 'length'>, onset: Ticks): BarSpan {
  const spans = barSpans(p);
  let found = spans[0]!;
  for (const s of spans) if (s.start <= onset) found = s;
  return found;
}

/** Sum of the full bars and the pickup: the latest tick at which the phrase may end. */
export function fullLength(p: Pick<Phrase, 'pickup' | 'bars'>): Ticks {
  return p.bars.reduce((sum, b) => sum + meterTicks(b.meter), p.pickup);
}

/** Onset of a position; the inverse of `positionOf`. Null for a bar the phrase does not have. */
export function onsetOf(
  p: Pick<Phrase, 'pickup' | 'bars' | 'length'>,
  position: Position,
): Ticks | null {
  const span = barSpans(p).find((s) => s.number === position.bar);
  if (span === undefined) return null;
  const meter = span.bar.meter;
  const from = span.number === 0 ? span.end - meterTicks(meter) : span.start;
  return Math.round(from + (position.beat - 1) * beatTicks(meter));
}

type Barred = Pick<Phrase, 'pickup' | 'bars' | 'length'>;

/** Whether two phrases have bar for bar the same metres, repeats and endings, so that one can stand beneath the other. */
export function sameBars(a: Barred, b: Barred): boolean {
  return (
    a.pickup === b.pickup &&
    a.length === b.length &&
    a.bars.length === b.bars.length &&
    a.bars.every(
      ({ meter, repeatStart, repeatEnd, ending }, i) =>
        meter.beats === b.bars[i]!.meter.beats &&
        meter.beatType === b.bars[i]!.meter.beatType &&
        repeatStart === b.bars[i]!.repeatStart &&
        repeatEnd === b.bars[i]!.repeatEnd &&
        ending?.join() === b.bars[i]!.ending?.join(),
    )
  );
}
