import { type BarSpan, barAt, barSpans, beatTicks, isCompound, meterTicks } from '../phrase/time';
import { type Meter, type Phrase, TICKS_PER_QUARTER, type Ticks } from '../phrase/types';
import type { Click } from '../sound/parts';
import type { Pass } from '../sound/types';
import type { ClickWay } from './types';

/** Decibels about mezzo-forte (ours): the first of a bar stands out, parts of a beat stay beneath it. */
const LEVEL: Readonly<Record<Click['beat'], number>> = { first: 3, beat: 0, part: -6 };

/** A beat, or a part of one, on a line of played ticks. */
interface Beat {
  readonly at: number;
  /** From 0, in its bar. */
  readonly beat: number;
  /** From 0, in its beat. */
  readonly part: number;
}

/** A bar on the line of played ticks: it may begin before it is heard, as a pickup does. */
interface PlayedBar {
  readonly meter: Meter;
  /** Where its first beat lies or would lie. */
  readonly first: number;
  /** What of it is played. */
  readonly from: number;
  readonly to: number;
}

/**
 * The metronome over passes of a phrase.
 * @param end Played ticks at which it ends; past the last pass bars like the last one go on.
 * @param perTick Seconds.
 */
export function clicksOver(
  p: Phrase,
  passes: readonly Pass[],
  end: Ticks,
  way: ClickWay,
  perTick: number,
): readonly Click[] {
  return playedBars(p, passes, end).flatMap((bar) => barClicks(p, bar, way, perTick));
}

/** The metronome over bars that are counted in; `length` is measured back from the first note. */
export function clicksBefore(
  p: Phrase,
  meter: Meter,
  offset: Ticks,
  length: Ticks,
  perTick: number,
): readonly Click[] {
  const way: ClickWay = { beats: 'every', accent: true, parts: 1 };
  const bar = meterTicks(meter);
  const clicks: Click[] = [];
  for (let first = length - offset; first > -bar; first -= bar) {
    const from = Math.max(0, first);
    const to = Math.min(length, first + bar);
    clicks.unshift(...barClicks(p, { meter, first, from, to }, way, perTick));
  }
  return clicks;
}

function playedBars(p: Phrase, passes: readonly Pass[], end: Ticks): readonly PlayedBar[] {
  const spans = barSpans(p);
  const bars: PlayedBar[] = [];
  for (const pass of passes) {
    for (const span of spans) {
      const start = Math.max(span.start, pass.start);
      const stop = Math.min(span.end, pass.end);
      if (start >= stop) continue;
      const shift = pass.at - pass.start;
      const { meter } = span.bar;
      bars.push({ meter, first: beginOf(span) + shift, from: start + shift, to: stop + shift });
    }
  }
  // The last bar is filled, and others like it follow.
  for (let last = bars.at(-1); last !== undefined && last.to < end; last = bars.at(-1)) {
    const full = last.first + meterTicks(last.meter);
    if (last.to < full) bars[bars.length - 1] = { ...last, to: Math.min(full, end) };
    else
      bars.push({
        ...last,
        first: full,
        from: full,
        to: Math.min(full + (full - last.first), end),
      });
  }
  return bars;
}

/** The tick of a bar's first beat; the pickup's lies before the phrase. */
export function beginOf(span: BarSpan): Ticks {
  return span.number === 0 ? span.end - meterTicks(span.bar.meter) : span.start;
}

function barClicks(p: Phrase, bar: PlayedBar, way: ClickWay, perTick: number): readonly Click[] {
  return beatsOf(p, bar, way.parts).flatMap(({ at, beat, part }): Click[] => {
    if (at < bar.from || at >= bar.to || !isBeaten(way, beat)) return [];
    const name = part > 0 ? 'part' : beat === 0 && way.accent ? 'first' : 'beat';
    return [{ beat: name, onset: at * perTick, level: LEVEL[name] }];
  });
}

function isBeaten(way: ClickWay, beat: number): boolean {
  return way.beats === 'every' || (way.beats === 'first' ? beat === 0 : beat % 2 === 1);
}

function beatsOf(p: Phrase, bar: PlayedBar, parts: number): readonly Beat[] {
  const { meter, first } = bar;
  const size = beatTicks(meter);
  const count = Math.round(meterTicks(meter) / size);
  return Array.from({ length: count * parts }, (_, i) => {
    const beat = Math.floor(i / parts);
    const part = i % parts;
    return { at: first + beat * size + size * share(p, meter, part, parts), beat, part };
  });
}

/** Where a part of a beat begins; parts that the phrase swings are swung (T3). */
function share(p: Phrase, meter: Meter, part: number, parts: number): number {
  const { feel } = p;
  const even = part / parts;
  if (feel.kind === 'straight' || isCompound(meter)) return even;
  const unit = TICKS_PER_QUARTER / (feel.unit === 'eighth' ? 2 : 4);
  if (beatTicks(meter) / parts !== unit || part % 2 === 0) return even;
  return (part - 1 + (2 * feel.first) / (feel.first + feel.second)) / parts;
}

/**
 * Ticks that a round waits at its end so that the next one begins at the same place of a bar or of a
 * beat: what is practised to a beat must not lose it.
 */
export function missing(p: Phrase, from: Ticks, to: Ticks, fills: 'bar' | 'beat'): Ticks {
  const first = barAt(p, from);
  const last = barAt(p, to - 1);
  const { meter } = last.bar;
  const unit = fills === 'bar' ? meterTicks(meter) : beatTicks(meter);
  const rest = (from - beginOf(first) - (to - beginOf(last))) % unit;
  return rest < 0 ? rest + unit : rest;
}
