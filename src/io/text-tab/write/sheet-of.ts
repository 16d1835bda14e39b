import { writeRhythm } from '../../../core/phrase/rhythm';
import { type BarSpan, beatTicks, isCompound, meterTicks } from '../../../core/phrase/time';
import type { Meter, Ticks } from '../../../core/phrase/types';
import type { Signs } from '../../text/signs';
import { COUNT_ROW, type CollectedPart, collectPart, type PartSource } from './collect';
import type { LegendKeys } from './legend';
import type { Cell, Column, Sheet, SheetBar } from './sheet';

/**
 * Puts phrases of one bar structure under each other on a sheet; one phrase is the usual case.
 * @throws RangeError when there is none, or the bars differ (programmer's error).
 */
export function sheetOf(
  sources: readonly Omit<PartSource, 'written' | 'prefix' | 'rhythm'>[],
  signs: Signs,
  used: LegendKeys,
): Sheet {
  const first = sources[0]?.phrase;
  if (first === undefined) throw new RangeError('there is no phrase to lay out');
  const written = sources.map((s) => writeRhythm(s.phrase));
  const spans = written[0]!.map((b) => b.span);
  for (const w of written) {
    const same = w.length === spans.length && w.every((b, i) => sameExtent(b.span, spans[i]!));
    if (!same) throw new RangeError('phrases under each other must have the same bars');
  }
  const parts = sources.map((s, i) =>
    collectPart({ ...s, written: written[i]!, prefix: `${i}/`, rhythm: i === 0 }, signs, used),
  );
  const onsets = onsetsOf(parts, spans);
  let at = 0;
  const bars = spans.map((span, i): SheetBar => {
    const columns: Column[] = [];
    for (; at < onsets.length && onsets[at]! < span.end; at++) {
      columns.push(columnAt(onsets[at]!, span, parts));
    }
    if (span.bar.repeatStart || span.bar.repeatEnd !== undefined) used.add('repeat');
    return { span, head: headOf(span, spans[i - 1]?.bar.meter, signs), columns };
  });
  return { parts: parts.map((p) => p.part), bars };
}

function sameExtent(a: BarSpan, b: BarSpan): boolean {
  return a.start === b.start && a.end === b.end;
}

/** Where something begins, and every beat, ascending. */
function onsetsOf(parts: readonly CollectedPart[], spans: readonly BarSpan[]): readonly Ticks[] {
  const all = new Set<Ticks>();
  for (const p of parts) {
    for (const onset of p.cells.keys()) all.add(onset);
    for (const onset of p.part.words.keys()) all.add(onset);
  }
  const end = spans.at(-1)!.end;
  for (const s of spans) {
    const beat = beatTicks(s.bar.meter);
    for (let t = zeroOf(s); t < s.end; t += beat) if (t >= s.start) all.add(t);
  }
  return [...all].filter((t) => t < end).sort((a, b) => a - b);
}

/** From where the beats of a bar are counted: a pickup is the end of a full bar (T2). */
function zeroOf(span: BarSpan): Ticks {
  return span.number === 0 ? span.end - meterTicks(span.bar.meter) : span.start;
}

function columnAt(onset: Ticks, span: BarSpan, parts: readonly CollectedPart[]): Column {
  const { meter } = span.bar;
  const beat = beatTicks(meter);
  const since = onset - zeroOf(span);
  const cells: Cell[] = parts.flatMap((p) => p.cells.get(onset) ?? []);
  cells.push({ row: COUNT_ROW, before: '', text: countText(since, meter), joins: false });
  return { onset, cells, onBeat: since % beat === 0 };
}

/** The beat's number, `e & a` inside a simple beat (common practice), a dot for what has no name. */
function countText(since: Ticks, meter: Meter): string {
  const beat = beatTicks(meter);
  const part = (since % beat) / beat;
  if (part === 0) return String(since / beat + 1);
  if (isCompound(meter)) return '.';
  return part === 0.5 ? '&' : part === 0.25 ? 'e' : part === 0.75 ? 'a' : '.';
}

function headOf(span: BarSpan, before: Meter | undefined, signs: Signs): string {
  const { bar } = span;
  const words = [String(span.number)];
  const changed =
    before === undefined ||
    before.beats !== bar.meter.beats ||
    before.beatType !== bar.meter.beatType;
  if (changed) words.push(`${bar.meter.beats}/${bar.meter.beatType}`);
  if (bar.ending !== undefined) words.push(`[${bar.ending.join(',')}.`);
  if ((bar.repeatEnd ?? 2) > 2) words.push(`${signs.times}${bar.repeatEnd}`);
  return words.join(' ');
}
