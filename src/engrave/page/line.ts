import type { Key, Meter } from '../../core/phrase/types';
import type { Clef } from '../score/clef';
import type { BarWidth } from '../space/breaks';
import {
  type Gap,
  leastWidth,
  meetReaches,
  placesAt,
  type Reach,
  stretchFor,
  widthAt,
} from '../space/springs';
import { type BarlineKind, barlineWidth, drawMeter, prefixWidth } from '../staff/frame';
import type { DrawnBar, Station } from './bar';

/** Room between the words over two chords. */
const CHORD_GAP = 9;
const AFTER_REPEAT = 4;
const METER_ROOM = 8;

/** A bar in its line, with what its neighbours make of its ends. */
export interface BarInLine {
  readonly drawn: DrawnBar;
  /** Shown at its beginning where it changes. */
  readonly meter: Meter | null;
  readonly startsRepeat: boolean;
  /** The bar line at its end. */
  readonly end: BarlineKind;
}

/** Bars of one line before room is shared out. */
export interface LinePlan {
  readonly bars: readonly BarInLine[];
  readonly clef: Clef;
  readonly key: Key;
  /** Shown after the clef: in the first line, and where a line begins with a change. */
  readonly meter: Meter | null;
  readonly hasStaff: boolean;
  readonly isFirst: boolean;
  readonly isLast: boolean;
}

export interface StationPlace {
  readonly station: Station;
  readonly x: number;
}

export interface BarPlace {
  readonly bar: BarInLine;
  /** From its left bar line's right edge to its right bar line's left edge. */
  readonly x0: number;
  readonly x1: number;
  readonly stations: readonly StationPlace[];
  readonly meterX: number | null;
  readonly repeatX: number | null;
}

/** A line of music with the place of everything from left to right. */
export interface LineLayout {
  readonly plan: LinePlan;
  readonly bars: readonly BarPlace[];
  /** Right edge of the last bar line. */
  readonly width: number;
  /** Stretch at which it was set. */
  readonly stretch: number;
}

/** Clef, signature and meter, or the little that a line without a staff begins with. */
export function leadIn(plan: Pick<LinePlan, 'clef' | 'key' | 'meter' | 'hasStaff'>): number {
  if (plan.hasStaff) return prefixWidth(plan);
  return plan.meter === null ? 26 : drawMeter(null, plan.meter, 30) + 8;
}

/** The room a bar takes in a line, for choosing the breaks. */
export function barWidth(bar: BarInLine): BarWidth {
  const gaps = meetReaches([headGap(bar, false), ...bar.drawn.gaps], chordReaches([bar], [1]));
  const end = barlineWidth(bar.end);
  return { least: leastWidth(gaps) + end, ideal: widthAt(gaps, 1) + end };
}

/** A fixed gap before the lead of each bar: a start of a repeat, a change of meter. */
function headGap(bar: BarInLine, first: boolean): Gap {
  let room = 0;
  // In the middle of a line the start of a repeat is part of the bar line before it.
  if (first && bar.startsRepeat) room += barlineWidth('repeat-start') + AFTER_REPEAT;
  if (!first && bar.meter !== null) room += METER_ROOM + drawMeter(null, bar.meter, 0);
  return { least: room, ideal: 0 };
}

/**
 * Shares out the room of a line. Where the least width is more than the room, the line keeps its
 * least width and is wider than asked.
 * @param limit Greatest stretch; a last line that would need more stays short.
 */
export function layOutLine(plan: LinePlan, room: number, limit: number): LineLayout {
  const places = plan.bars.map((_, i) => i);
  const slots = plan.bars.map((b) => b.drawn.gaps.length);
  return layOutLines([{ plan, places }], slots, room, limit)[0]!;
}

/** A line of one of several phrases that stand under each other. */
export interface LineAmong {
  readonly plan: LinePlan;
  /** For each of its bars, which of the shared bars it is; ascending. */
  readonly places: readonly number[];
}

/**
 * Shares out the room of lines that stand under each other, so that what has the same place in the
 * same bar has the same x in all of them.
 * @param slots Gaps of each shared bar; a bar has as many in every line that has the bar.
 */
export function layOutLines(
  lines: readonly LineAmong[],
  slots: readonly number[],
  room: number,
  limit: number,
): readonly LineLayout[] {
  // Each shared bar has a gap before it, its own gaps, and one for the bar line after it.
  const headAt: number[] = [];
  let length = 0;
  for (const n of slots) {
    headAt.push(length);
    length += n + 2;
  }
  const firstGaps = lines.map((l) => l.places.map((k) => headAt[k]! + 1));
  const spreads = lines.map((l, i) => {
    const gaps: Gap[] = Array.from({ length }, () => ({ least: 0, ideal: 0 }));
    l.plan.bars.forEach((bar, b) => {
      const g = firstGaps[i]![b]!;
      gaps[g - 1] = headGap(bar, b === 0);
      bar.drawn.gaps.forEach((gap, k) => {
        gaps[g + k] = gap;
      });
      gaps[g + bar.drawn.gaps.length] = { least: barlineWidth(bar.end), ideal: 0 };
    });
    return meetReaches(gaps, chordReaches(l.plan.bars, firstGaps[i]!));
  });
  const spread = spreads[0]!.map((_, k) => widest(spreads.map((gaps) => gaps[k]!)));
  const start = Math.max(...lines.map((l) => leadIn(l.plan)));
  const stretch = Math.min(limit, stretchFor(spread, room - start));
  const xs = placesAt(spread, stretch).map((x) => x + start);
  return lines.map((l, i) => {
    const bars = l.plan.bars.map((bar, b) => placeBar(bar, firstGaps[i]![b]!, b === 0, xs));
    const last = l.plan.bars.length - 1;
    const end = last < 0 ? 0 : firstGaps[i]![last]! + l.plan.bars[last]!.drawn.gaps.length + 1;
    return { plan: l.plan, bars, width: xs[end]!, stretch };
  });
}

function placeBar(bar: BarInLine, g: number, first: boolean, xs: readonly number[]): BarPlace {
  const headX = xs[g - 1]!;
  return {
    bar,
    x0: xs[g]!,
    x1: xs[g + bar.drawn.gaps.length]!,
    stations: bar.drawn.stations.map((station, k) => ({ station, x: xs[g + k + 1]! })),
    meterX: !first && bar.meter !== null ? headX + METER_ROOM : null,
    repeatX: first && bar.startsRepeat ? headX : null,
  };
}

function widest(gaps: readonly Gap[]): Gap {
  return {
    least: Math.max(...gaps.map((g) => g.least)),
    ideal: Math.max(...gaps.map((g) => g.ideal)),
  };
}

/**
 * The distance that two chord symbols need, from the gap before the first one's station to the one
 * before the second's; the last keeps its own width free up to the end of the line.
 */
function chordReaches(bars: readonly BarInLine[], firstGap: readonly number[]): Reach[] {
  const reaches: Reach[] = [];
  let before: { at: number; right: number } | null = null;
  bars.forEach((bar, i) => {
    bar.drawn.stations.forEach((s, k) => {
      if (s.chord === null) return;
      const at = firstGap[i]! + k + 1;
      const left = Math.min(...s.chord.ink.map((b) => b.x0));
      if (before !== null) {
        reaches.push({ from: before.at, to: at, distance: before.right - left + CHORD_GAP });
      }
      before = { at, right: Math.max(...s.chord.ink.map((b) => b.x1)) };
    });
  });
  const last = before as { at: number; right: number } | null;
  const end = firstGap.at(-1)! + (bars.at(-1)?.drawn.gaps.length ?? 0);
  if (last !== null) reaches.push({ from: last.at, to: end, distance: last.right + 2 });
  return reaches;
}
