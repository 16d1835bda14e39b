import { beamSpans, wideBeamSpan } from './metre';
import { beamsOfValue, ticksOfValue } from './note-value';
import { type BarSpan, meterTicks } from './time';
import type { Ticks } from './types';
import type { BeamPart, WrittenItem } from './written';

/**
 * Joins the eighths and shorter notes of a bar by beams (common practice): inside a beat of
 * `beamSpans`; four plain eighths that fill a half note in 2/4 and 4/4 together; a tuplet by itself.
 * Rests and longer notes end a beam, and a note alone keeps its flag.
 * @param items The items of one voice in one bar.
 */
export function assignBeams(span: BarSpan, items: readonly WrittenItem[]): readonly WrittenItem[] {
  const out = [...items];
  let run: number[] = [];
  let key: string | null = null;
  const close = () => {
    if (run.length > 1) joinRun(out, run);
    run = [];
  };
  const keyOf = makeKeys(span, items);
  items.forEach((item, i) => {
    const next = isBeamable(item) ? keyOf(item) : null;
    if (next === null || next !== key) close();
    key = next;
    if (next !== null) run.push(i);
  });
  close();
  return out;
}

function isBeamable(item: WrittenItem): boolean {
  return item.event !== null && beamsOfValue(item.value) > 0;
}

/** A name for the group that an item is beamed in. */
function makeKeys(span: BarSpan, items: readonly WrittenItem[]): (item: WrittenItem) => string {
  const meter = span.bar.meter;
  const zero = span.number === 0 ? span.end - meterTicks(meter) : span.start;
  const starts: Ticks[] = [];
  let at = 0;
  for (const length of beamSpans(meter)) {
    starts.push(at);
    at += length;
  }
  const wide = wideBeamSpan(meter);
  const eighths = new Map<number, number>();
  for (const item of items) {
    if (wide !== null && isPlainEighth(item)) {
      const half = Math.floor((item.onset - zero) / wide);
      eighths.set(half, (eighths.get(half) ?? 0) + 1);
    }
  }
  return (item) => {
    if (item.tuplet !== null) return `tuplet ${item.tuplet.index}`;
    const onset = item.onset - zero;
    if (wide !== null && eighths.get(Math.floor(onset / wide)) === 4) {
      return `half ${Math.floor(onset / wide)}`;
    }
    return `beat ${starts.filter((t) => t <= onset).length}`;
  };
}

function isPlainEighth(item: WrittenItem): boolean {
  return item.event !== null && item.value === 'eighth' && item.dots === 0 && item.tuplet === null;
}

function joinRun(items: WrittenItem[], run: readonly number[]): void {
  const counts = run.map((i) => beamsOfValue(items[i]!.value));
  run.forEach((i, k) => {
    const item = items[i]!;
    const beams = Array.from({ length: counts[k]! }, (_, level): BeamPart => {
      const before = (counts[k - 1] ?? 0) > level;
      const after = (counts[k + 1] ?? 0) > level;
      if (before && after) return 'continue';
      if (before) return 'end';
      if (after) return 'begin';
      return hook(item, items[run[0]!]!, k === 0, k === run.length - 1);
    });
    items[i] = { ...item, beams };
  });
}

/** A short beam that no neighbour shares points into the group, towards the note it is paired with. */
function hook(item: WrittenItem, first: WrittenItem, isFirst: boolean, isLast: boolean): BeamPart {
  if (isFirst) return 'forward hook';
  if (isLast) return 'backward hook';
  const { actual, normal } = item.tuplet ?? { actual: 1, normal: 1 };
  const since = ((item.onset - first.onset) * actual) / normal;
  const pair = 2 * ticksOfValue({ value: item.value, dots: 0 });
  return since % pair === 0 ? 'forward hook' : 'backward hook';
}
