import { type Gap, leastWidth, widthAt } from '../space/springs';
import type { DrawnBar } from './bar';

/**
 * Bars with those that are silent made as wide as the others on average, in proportion to their length: where an
 * answer is written by hand it takes the room of what it answers. As they were where all are silent.
 */
export function withRoomToWrite(bars: readonly DrawnBar[]): readonly DrawnBar[] {
  const sounding = bars.filter((b) => !b.bar.silent);
  const ticks = sum(sounding.map(lengthOf));
  if (ticks === 0) return bars;
  const least = sum(sounding.map((b) => leastWidth(b.gaps))) / ticks;
  const ideal = sum(sounding.map((b) => widthAt(b.gaps, 1))) / ticks;
  return bars.map((b) => {
    if (!b.bar.silent) return b;
    const length = lengthOf(b);
    return { ...b, gaps: widened(b.gaps, least * length, ideal * length) };
  });
}

/** Gaps that are at least as wide in all, and would like to be, each widened by its share of the time. */
function widened(gaps: readonly Gap[], least: number, ideal: number): readonly Gap[] {
  const time = sum(gaps.map((g) => g.ideal));
  if (time === 0) return gaps;
  const more = Math.max(0, least - leastWidth(gaps));
  const wide = Math.max(time, ideal);
  return gaps.map((g) => ({
    least: g.least + (more * g.ideal) / time,
    ideal: (wide * g.ideal) / time,
  }));
}

function lengthOf({ bar }: DrawnBar): number {
  return bar.span.end - bar.span.start;
}

function sum(list: readonly number[]): number {
  return list.reduce((a, b) => a + b, 0);
}
