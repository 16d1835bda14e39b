import { assignBeams } from './beams';
import { type Stretch, splitSpan, stretchOfMeter, stretchOfTuplet } from './metre';
import { valueOfTicks, type WrittenValue } from './note-value';
import { type BarSpan, barSpans, meterTicks } from './time';
import type { Phrase, Ticks, Tuplet, Voice } from './types';
import { endOf } from './walk';
import type { TupletPart, WrittenBar, WrittenItem } from './written';

/**
 * The rhythm of a phrase as it is written: every bar with the pickup first, for each voice the
 * notes and rests that fill it, split so that the beats can be read (rules in `metre.ts`), with
 * ties, tuplets and beams. Swing changes nothing here (T3).
 *
 * Durations in a bar and voice add up to the bar; the items of an event add up to its duration.
 * @throws RangeError for times off the grid of T1 or tuplets over a bar line, which are refused
 * wherever a phrase comes in.
 */
export function writeRhythm(
  p: Pick<Phrase, 'pickup' | 'bars' | 'length' | 'voices'>,
): WrittenBar[] {
  const parts = p.voices.map((): PartCount => ({ event: null, part: 0 }));
  return barSpans(p).map((span) => ({
    span,
    voices: p.voices.map((voice, v) =>
      assignBeams(span, numberParts(writeBar(span, voice), parts[v]!)),
    ),
  }));
}

/** The event last written in a voice, and how many items it has so far. */
interface PartCount {
  event: number | null;
  part: number;
}

function numberParts(items: readonly WrittenItem[], count: PartCount): WrittenItem[] {
  return items.map((item) => {
    if (item.event === null) return item;
    count.part = item.event === count.event ? count.part + 1 : 1;
    count.event = item.event;
    return { ...item, part: count.part };
  });
}

/** What fills a stretch of time: an event or silence. */
interface Filling {
  readonly from: Ticks;
  readonly to: Ticks;
  readonly event: number | null;
}

function writeBar(span: BarSpan, voice: Voice): WrittenItem[] {
  const tuplets: TupletAt[] = [];
  const first = firstEndingAfter(voice.tuplets, span.start);
  for (let index = first; index < voice.tuplets.length; index++) {
    const t = voice.tuplets[index]!;
    if (t.onset >= span.end) break;
    tuplets.push({ t, index });
  }
  for (const { t } of tuplets) {
    if (t.onset < span.start || t.onset + t.duration > span.end) {
      throw new RangeError(`the tuplet at tick ${t.onset} crosses a bar line`);
    }
  }
  const fillings = fillBar(span, voice);
  if (isSilent(fillings) && tuplets.length === 0 && isFull(span)) return [wholeBarRest(span)];

  const items: WrittenItem[] = [];
  for (const filling of fillings) {
    for (const piece of cutAtTuplets(filling, tuplets)) {
      const run =
        piece.tuplet === null
          ? writePlain(span, piece.from, piece.to, filling.event === null)
          : writeInTuplet(piece.tuplet.t, piece.from, piece.to, filling.event === null);
      for (const { from, to, value } of run) {
        items.push(makeItem(voice, filling.event, from, to, value, piece.tuplet));
      }
    }
  }
  return items;
}

/** The events that sound in the bar, cut at its ends, and the silences between them. */
function fillBar(span: BarSpan, voice: Voice): Filling[] {
  const out: Filling[] = [];
  let at = span.start;
  const first = firstEndingAfter(voice.events, span.start);
  for (let event = first; event < voice.events.length; event++) {
    const e = voice.events[event]!;
    if (e.onset >= span.end) break;
    const from = Math.max(e.onset, span.start);
    const to = Math.min(endOf(e), span.end);
    if (from > at) out.push({ from: at, to: from, event: null });
    out.push({ from, to, event });
    at = to;
  }
  if (at < span.end) out.push({ from: at, to: span.end, event: null });
  return out;
}

/** Index of the first of ascending spans that do not overlap which ends after the tick. */
function firstEndingAfter(
  spans: readonly { readonly onset: Ticks; readonly duration: Ticks }[],
  tick: Ticks,
): number {
  let low = 0;
  let high = spans.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (spans[middle]!.onset + spans[middle]!.duration <= tick) low = middle + 1;
    else high = middle;
  }
  return low;
}

function isSilent(fillings: readonly Filling[]): boolean {
  return fillings.every((f) => f.event === null);
}

function isFull(span: BarSpan): boolean {
  return span.end - span.start === meterTicks(span.bar.meter);
}

function wholeBarRest(span: BarSpan): WrittenItem {
  return {
    onset: span.start,
    duration: span.end - span.start,
    value: 'whole',
    dots: 0,
    event: null,
    part: 1,
    tieStop: false,
    tieStart: false,
    tuplet: null,
    wholeBar: true,
    beams: [],
  };
}

interface TupletAt {
  readonly t: Tuplet;
  readonly index: number;
}

interface Piece {
  readonly from: Ticks;
  readonly to: Ticks;
  readonly tuplet: TupletAt | null;
}

function cutAtTuplets(f: Filling, tuplets: readonly TupletAt[]): Piece[] {
  const pieces: Piece[] = [];
  let at = f.from;
  for (const tuplet of tuplets) {
    const from = Math.max(at, tuplet.t.onset);
    const to = Math.min(f.to, tuplet.t.onset + tuplet.t.duration);
    if (from >= to) continue;
    if (from > at) pieces.push({ from: at, to: from, tuplet: null });
    pieces.push({ from, to, tuplet });
    at = to;
  }
  if (at < f.to) pieces.push({ from: at, to: f.to, tuplet: null });
  return pieces;
}

interface ValueAt {
  readonly from: Ticks;
  readonly to: Ticks;
  readonly value: WrittenValue;
}

/** Outside tuplets: split by the bar's divisions. A pickup is the end of a full bar (T2). */
function writePlain(span: BarSpan, from: Ticks, to: Ticks, rest: boolean): ValueAt[] {
  const stretch = stretchOfMeter(span.bar.meter);
  const zero = span.number === 0 ? span.end - stretch.end : span.start;
  return split(stretch, from - zero, to - zero, rest).map((x) => ({
    ...x,
    from: x.from + zero,
    to: x.to + zero,
  }));
}

/** Inside a tuplet: split by its units, reckoned in written values. */
function writeInTuplet(t: Tuplet, from: Ticks, to: Ticks, rest: boolean): ValueAt[] {
  const toWritten = (ticks: Ticks) => ((ticks - t.onset) * t.actual) / t.normal;
  const toPlayed = (ticks: Ticks) => t.onset + (ticks * t.normal) / t.actual;
  const stretch = stretchOfTuplet(t.actual, t.duration / t.normal);
  return split(stretch, toWritten(from), toWritten(to), rest).map((x) => ({
    ...x,
    from: toPlayed(x.from),
    to: toPlayed(x.to),
  }));
}

function split(stretch: Stretch, from: Ticks, to: Ticks, rest: boolean): ValueAt[] {
  let at = from;
  return splitSpan(stretch, from, to, rest ? 'rest' : 'note').map((end) => {
    const value = valueOfTicks(end - at);
    if (value === null) throw new RangeError(`no note value lasts ${end - at} ticks`);
    const piece = { from: at, to: end, value };
    at = end;
    return piece;
  });
}

function makeItem(
  voice: Voice,
  event: number | null,
  from: Ticks,
  to: Ticks,
  value: WrittenValue,
  tuplet: TupletAt | null,
): WrittenItem {
  const e = event === null ? null : voice.events[event]!;
  return {
    onset: from,
    duration: to - from,
    ...value,
    event,
    part: 1,
    tieStop: e !== null && from > e.onset,
    tieStart: e !== null && to < endOf(e),
    tuplet: tuplet === null ? null : tupletPart(tuplet, from, to),
    wholeBar: false,
    beams: [],
  };
}

function tupletPart({ t, index }: TupletAt, from: Ticks, to: Ticks): TupletPart {
  const unit = valueOfTicks(t.duration / t.normal);
  if (unit === null) throw new RangeError(`the tuplet at tick ${t.onset} has no note value`);
  const { onset, duration, ...ratio } = t;
  return {
    index,
    ...ratio,
    unit,
    start: from === onset,
    stop: to === onset + duration,
  };
}
