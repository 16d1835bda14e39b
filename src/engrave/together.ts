import type { Phrase, Ticks } from '../core/phrase/types';
import { atLineEnd, barInLine, MOST_STRETCH } from './engrave';
import { SPACE } from './ink/pen';
import { type EngraveOptions, type Settings, settingsOf, showsStaff } from './options';
import { momentsOf, withMoments } from './page/align';
import { barSources, type DrawnBar, drawBar } from './page/bar';
import { type BarInLine, barWidth, type LineAmong, layOutLines, leadIn } from './page/line';
import { drawSystem, type EngravedSystem, type InkedSystem } from './page/system';
import { clefOf } from './score/clef';
import { scoreOf } from './score/score';
import { type BarWidth, chooseBreaks } from './space/breaks';

/** One of several phrases that are set under each other. */
export interface TogetherPart {
  readonly phrase: Phrase;
  /** `width` and `size` are those of the first part for all. */
  readonly options: EngraveOptions;
}

/** A phrase with its bars drawn, each at its place among the shared bars. */
interface Part {
  readonly phrase: Phrase;
  readonly settings: Settings;
  readonly bars: readonly BarInLine[];
  /** Number of each bar, ascending; 0 is the pickup. */
  readonly numbers: readonly number[];
}

/**
 * Sets phrases under each other, bar under bar: lines are broken at the same bars, and equal moments
 * of a bar have the same x in all phrases. Bars are matched by their numbers; a phrase without a bar
 * leaves its room empty.
 * @returns the lines from top to bottom; in each a system for every part, null where a part has no
 *   bar in the line.
 */
export function engraveTogether(
  parts: readonly TogetherPart[],
): readonly (readonly (EngravedSystem | null)[])[] {
  return inkTogether(parts);
}

/** The same with every piece of ink, to be put together to one drawing. */
export function inkTogether(
  parts: readonly TogetherPart[],
): readonly (readonly (InkedSystem | null)[])[] {
  const [first] = parts;
  if (first === undefined) return [];
  const { width, size } = settingsOf(first.options);
  const drawn = parts.map((p) => drawPart(p, width, size));
  const numbers = [...new Set(drawn.flatMap((d) => d.bars.map(numberOf)))];
  numbers.sort((a, b) => a - b);
  const all = drawn.map((d) => alignPart(d, drawn, numbers));
  const room = (width * SPACE) / size;
  const starts = chooseBreaks(
    numbers.map((n) => sharedWidth(all, n)),
    room - Math.max(...all.map((p) => leadIn({ ...frameOf(p), meter: meterAt(p, 0) }))),
    room - Math.max(...all.map((p) => leadIn({ ...frameOf(p), meter: null }))),
  );
  return starts.map((start, i) => {
    const line = numbers.slice(start, starts[i + 1] ?? numbers.length);
    return setLine(all, line, room, i === starts.length - 1);
  });
}

interface DrawnPart {
  readonly phrase: Phrase;
  readonly settings: Settings;
  readonly bars: readonly DrawnBar[];
}

function drawPart({ phrase, options }: TogetherPart, width: number, size: number): DrawnPart {
  const settings = settingsOf({ ...options, width, size });
  const bars = barSources(phrase, scoreOf(phrase)).map((b) => drawBar(b, settings));
  return { phrase, settings, bars };
}

function numberOf(d: DrawnBar): number {
  return d.bar.span.number;
}

/** Every bar gets a place for each moment that any of the phrases has in that bar. */
function alignPart(own: DrawnPart, all: readonly DrawnPart[], numbers: readonly number[]): Part {
  const moments = new Map(numbers.map((n) => [n, sharedMoments(all, n)]));
  const bars = own.bars.map((d) => withMoments(d, moments.get(numberOf(d))!));
  return {
    phrase: own.phrase,
    settings: own.settings,
    bars: bars.map((d, i) => barInLine(bars, d, i)),
    numbers: bars.map(numberOf),
  };
}

function sharedMoments(all: readonly DrawnPart[], number: number): readonly Ticks[] {
  const set = new Set<Ticks>();
  for (const part of all)
    for (const bar of part.bars)
      if (numberOf(bar) === number) for (const m of momentsOf(bar)) set.add(m);
  return [...set].sort((a, b) => a - b);
}

function sharedWidth(all: readonly Part[], number: number): BarWidth {
  const widths = all.flatMap((p) => {
    const bar = p.bars[p.numbers.indexOf(number)];
    return bar === undefined ? [] : [barWidth(bar)];
  });
  return {
    least: Math.max(...widths.map((w) => w.least)),
    ideal: Math.max(...widths.map((w) => w.ideal)),
  };
}

function frameOf(p: Part) {
  return { clef: clefOf(p.phrase.instrument), key: p.phrase.key, hasStaff: showsStaff(p.settings) };
}

/** The meter at the very beginning, and elsewhere only where it changes. */
function meterAt(p: Part, bar: number) {
  const b = p.bars[bar];
  if (b === undefined) return null;
  return bar === 0 ? b.drawn.bar.span.bar.meter : b.meter;
}

function setLine(
  all: readonly Part[],
  numbers: readonly number[],
  room: number,
  isLast: boolean,
): readonly (InkedSystem | null)[] {
  const lines = all.map((p): LineAmong | null => {
    const own = p.numbers.flatMap((n, i) => (numbers.includes(n) ? [i] : []));
    const [from] = own;
    if (from === undefined) return null;
    const bars = own.map((i) => p.bars[i]!);
    return {
      plan: {
        ...frameOf(p),
        bars: bars.map((b, k) => (k === bars.length - 1 ? atLineEnd(b) : b)),
        meter: meterAt(p, from),
        isFirst: from === 0,
        isLast: own.at(-1) === p.bars.length - 1,
      },
      places: own.map((i) => numbers.indexOf(p.numbers[i]!)),
    };
  });
  const slots = numbers.map(
    (n) => all.flatMap((p) => p.bars[p.numbers.indexOf(n)]?.drawn.gaps.length ?? [])[0]!,
  );
  const limit = isLast ? MOST_STRETCH : Number.POSITIVE_INFINITY;
  const present = lines.filter((l) => l !== null);
  const layouts = layOutLines(present, slots, room, limit);
  // A line that is too wide is made smaller as a whole, and with it those under it.
  const widest = Math.max(room, ...layouts.map((l) => l.width + 1));
  let next = 0;
  return lines.map((l, i) => {
    if (l === null) return null;
    const { phrase, settings } = all[i]!;
    return drawSystem(phrase, layouts[next++]!, settings, widest);
  });
}
