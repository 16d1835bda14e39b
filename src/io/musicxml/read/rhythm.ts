import { type BarSpan, barSpans } from '../../../core/phrase/time';
import { shortestIn, stepIn } from '../../../core/phrase/tuplet';
import type { TupletRatio } from '../../../core/phrase/tuplet-ratio';
import { TUPLET_RATIOS } from '../../../core/phrase/tuplet-ratios';
import type { Ticks, Tuplet } from '../../../core/phrase/types';
import type { BarLayout } from './bars';
import { GRID } from './bars';
import { Grid } from './grid';
import type { ImportLog } from './log';
import { oddPart, ratiosLike, sameDivision } from './ratios';
import type { RawItem } from './raw';
import { type Ratio, snap } from './value';

/** An item with its place in the phrase, on the grid of T1. Graces have the onset of what follows. */
export interface TimedItem {
  readonly item: RawItem;
  readonly onset: Ticks;
  readonly end: Ticks;
  /** Place in `TimedStream.tuplets`, or null. */
  readonly tuplet: number | null;
}

/** What one voice of the file plays: notes and rests in order of time, and its tuplets. */
export interface TimedStream {
  readonly items: readonly TimedItem[];
  readonly tuplets: readonly Tuplet[];
}

/** Exact time of an item from the first tick of the phrase. */
export function exactOnset(item: RawItem, layout: Pick<BarLayout, 'starts'>): number {
  return snap((layout.starts[item.measure] ?? 0) + item.offset);
}

interface Exact {
  readonly item: RawItem;
  readonly from: number;
  readonly to: number;
}

/**
 * Finds the tuplets of one voice and puts every onset and end on the grid of T1: a multiple of a
 * 128th, or inside a tuplet of the shortest value it can have. What must be moved goes to the nearest place,
 * later onsets stay where they are, and both are logged.
 * @param items the voice's items in the order of the file.
 */
export function timeStream(
  items: readonly RawItem[],
  layout: BarLayout,
  log: ImportLog,
): TimedStream {
  const exact = items
    .map((item): Exact => {
      const from = exactOnset(item, layout);
      return { item, from, to: snap(from + item.duration) };
    })
    .sort((a, b) => a.from - b.from);
  const tuplets = findTuplets(
    exact.filter((e) => !e.item.grace),
    layout,
    log,
  );
  const grid = new Grid(tuplets);
  const timed: TimedItem[] = [];
  for (const { item, from, to } of exact) {
    const onset = grid.nearest(from);
    if (item.grace) {
      timed.push({ item, onset, end: onset, tuplet: null });
      continue;
    }
    const end = Math.min(grid.nearest(to), layout.length);
    const isNote = item.notes.length > 0;
    if (isNote && Math.max(Math.abs(onset - from), Math.abs(end - to)) >= 1) {
      const around = grid.tupletAt(onset);
      logShift(item, onset, around === null ? null : tuplets[around]!, log);
    }
    if (end <= onset) {
      if (isNote) {
        log.add('dropped', 'a note shorter than a 128th is left out', {
          onset,
          line: item.element.line,
        });
      }
      continue;
    }
    timed.push({ item, onset, end, tuplet: grid.tupletAt(onset) });
  }
  return { items: timed, tuplets };
}

function logShift(item: RawItem, onset: Ticks, around: Tuplet | null, log: ImportLog): void {
  const { ratio } = item;
  const supported = ratio === null || (around !== null && sameDivision(ratio, around));
  const message = supported
    ? 'a time between the note values is moved to the nearest one'
    : `notes of a tuplet ${ratio.actual}:${ratio.normal} are moved to the nearest 128th`;
  log.add('approximated', message, { onset, line: item.element.line });
}

/** Notes of one ratio that follow each other without a gap in one bar. */
function findTuplets(items: readonly Exact[], layout: BarLayout, log: ImportLog): Tuplet[] {
  const tuplets: Tuplet[] = [];
  const bars = new BarCursor(barSpans(layout));
  let i = 0;
  while (i < items.length) {
    const first = items[i]!;
    const like = first.item.ratio === null ? [] : ratiosLike(first.item.ratio);
    if (like.length === 0) {
      i++;
      continue;
    }
    const bar = bars.at(first.from);
    const { count, ratio: outer } = groupAt(items, i, like, bar);
    const group = items.slice(i, i + count);
    const ratio = ratioOfNested(group, outer);
    const made = tupletOver(items, i, count, ratio, bar, tuplets.at(-1));
    if (made === null) {
      logUnfit(group, log);
    } else {
      if (ratio !== outer) logNested(group, ratio, log);
      tuplets.push(made);
    }
    i += count;
  }
  return tuplets;
}

/** How many items from `i` on are one tuplet, and of which of the ratios that divide time alike. */
function groupAt(
  items: readonly Exact[],
  i: number,
  like: readonly TupletRatio[],
  bar: BarSpan,
): { readonly count: number; readonly ratio: TupletRatio } {
  const { normal } = items[i]!.item.ratio!;
  const ways: readonly ((r: TupletRatio) => number | null)[] = [
    (r) => bracketedCount(items, i, r, bar),
    (r) => smallestCount(items, i, normal, r, bar),
    // Half of six in the time of four: three in the time of two.
    (r) => smallestCount(items, i, r.normal, r, bar),
  ];
  for (const way of ways) {
    for (const ratio of like) {
      const count = way(ratio);
      if (count !== null) return { count, ratio };
    }
  }
  return { count: runLength(items, i, bar), ratio: like[0]! };
}

/**
 * The ratio that holds the notes of all tuplets inside a tuplet: of 3:2 inside 5:4 it is 15:8. The
 * tuplet's own where it has none inside, or where no ratio holds them.
 */
function ratioOfNested(group: readonly Exact[], outer: TupletRatio): TupletRatio {
  const nested = group.some(({ item }) => item.ratio !== null && !sameDivision(item.ratio, outer));
  if (!nested) return outer;
  const holds = (r: TupletRatio) =>
    unitOf(group, 0, group.length, r) !== null &&
    group.every(({ to }) => {
      const steps = (to - group[0]!.from) / stepIn(r);
      return Math.abs(steps - Math.round(steps)) * stepIn(r) < 1;
    });
  return [outer, ...TUPLET_RATIOS].find(holds) ?? outer;
}

function logNested(group: readonly Exact[], { actual, normal }: TupletRatio, log: ImportLog): void {
  const { from, item } = group[0]!;
  log.add('approximated', `a tuplet inside a tuplet is written as one of ${actual}:${normal}`, {
    onset: Math.round(from),
    line: item.element.line,
  });
}

/** More items are under no bracket; looking further would cost time with every open one. */
const MOST_UNDER_BRACKET = 128;

/** Number of items under the bracket that opens at `i`; null without a bracket that makes sense. */
function bracketedCount(
  items: readonly Exact[],
  i: number,
  ratio: TupletRatio,
  bar: BarSpan,
): number | null {
  let depth = 0;
  for (let k = i; k < items.length; k++) {
    const { item, from } = items[k]!;
    if (from >= bar.end || item.ratio === null || k - i >= MOST_UNDER_BRACKET) return null;
    depth += item.opens;
    if (depth === 0) return null;
    depth -= item.closes;
    if (depth <= 0) {
      const count = k - i + 1;
      return unitOf(items, i, count, ratio) === null ? null : count;
    }
  }
  return null;
}

/**
 * Number of items from `i` on that fill the shortest complete tuplet of their own values.
 * @param normal How many of the shortest value a bracket would hold together at least.
 */
function smallestCount(
  items: readonly Exact[],
  i: number,
  normal: number,
  ratio: TupletRatio,
  bar: BarSpan,
): number | null {
  let shortest = Number.POSITIVE_INFINITY;
  for (let k = i; k < items.length; k++) {
    const { item, to } = items[k]!;
    if (k > i && !continuesRun(items, k, items[i]!.item.ratio!, bar)) return null;
    shortest = Math.min(shortest, writtenTicks(item));
    const least = normal * shortest - slack(item);
    const count = k - i + 1;
    if (to - items[i]!.from >= least && unitOf(items, i, count, ratio) !== null) return count;
  }
  return null;
}

/** The note value as it is written, before the tuplet makes it shorter. */
function writtenTicks(item: RawItem): number {
  const { actual, normal } = item.ratio!;
  return ((item.nominal ?? item.duration) * actual) / normal;
}

/** How many items from `i` on belong to one run: the same division of time, one bar, no gap. */
function runLength(items: readonly Exact[], i: number, bar: BarSpan): number {
  let k = i + 1;
  while (k < items.length && continuesRun(items, k, items[i]!.item.ratio!, bar)) k++;
  return k - i;
}

function continuesRun(items: readonly Exact[], k: number, ratio: Ratio, bar: BarSpan): boolean {
  const { item, from } = items[k]!;
  const same = item.ratio !== null && sameDivision(item.ratio, ratio);
  return same && from < bar.end && Math.abs(from - items[k - 1]!.to) <= slack(item);
}

/** What a program that wrote whole divisions may be off by. */
function slack(item: RawItem): number {
  return Math.min(3 * item.grain, GRID / 3) + 0.5;
}

/** The undotted value of which `normal` fill the items' time; null when there is none. */
function unitOf(
  items: readonly Exact[],
  i: number,
  count: number,
  ratio: TupletRatio,
): Ticks | null {
  const total = items[i + count - 1]!.to - items[i]!.from;
  const least = shortestIn(ratio);
  const power = Math.round(Math.log2(total / ratio.normal / least));
  if (power < 0) return null;
  const exact = 2 ** power * least;
  const off = Math.abs(exact * ratio.normal - total);
  return off <= slack(items[i]!.item) ? exact : null;
}

function tupletOver(
  items: readonly Exact[],
  i: number,
  count: number,
  ratio: TupletRatio,
  bar: BarSpan,
  before: Tuplet | undefined,
): Tuplet | null {
  const first = items[i]!;
  const onset = Math.round(first.from / GRID) * GRID;
  const unit = unitOf(items, i, count, ratio) ?? completedUnit(items, i, count, ratio);
  if (Math.abs(onset - first.from) > slack(first.item)) return null;
  const duration = unit * ratio.normal;
  if (onset + duration > bar.end) return null;
  if (before !== undefined && onset < before.onset + before.duration) return null;
  // Whole beats in a tuplet's clothes need none, unless the file draws a bracket over them.
  const bracket = first.item.opens > 0 && items[i + count - 1]!.item.closes > 0;
  // Two in the time of three lie on the plain grid too, as dotted values, but are not written so.
  const isDotted = oddPart(ratio.normal) > 1;
  const needed = items
    .slice(i, i + count)
    .some(
      ({ from, to }) => isDotted || [from, to].some((t) => Math.abs(snap(t / GRID) % 1) > 1e-6),
    );
  return bracket || needed ? { onset, duration, ...ratio } : null;
}

/** Unit of the shortest tuplet that an incomplete group could be the beginning of. */
function completedUnit(
  items: readonly Exact[],
  i: number,
  count: number,
  ratio: TupletRatio,
): Ticks {
  const total = items[i + count - 1]!.to - items[i]!.from;
  const least = shortestIn(ratio);
  return least * 2 ** Math.max(0, Math.ceil(Math.log2(total / ratio.normal / least) - 1e-6));
}

function logUnfit(group: readonly Exact[], log: ImportLog): void {
  const first = group[0]!;
  const offGrid = group.some(({ from, to }) =>
    [from, to].some((t) => Math.abs(t - Math.round(t / GRID) * GRID) >= 1),
  );
  if (!offGrid) return;
  const { actual, normal } = first.item.ratio!;
  log.add('approximated', `a tuplet ${actual}:${normal} that does not fill its beats is loosened`, {
    onset: Math.round(first.from),
    line: first.item.element.line,
  });
}

/** Finds the bar of ascending times. */
class BarCursor {
  readonly #spans: readonly BarSpan[];
  #at = 0;

  constructor(spans: readonly BarSpan[]) {
    this.#spans = spans;
  }

  at(time: number): BarSpan {
    while (this.#at + 1 < this.#spans.length && this.#spans[this.#at + 1]!.start <= time + 0.5) {
      this.#at++;
    }
    return this.#spans[this.#at]!;
  }
}
