/** Where a bar stands in its line of music, in percent of the line's width. */
export interface LineBar {
  /** 0 is the pickup. */
  readonly number: number;
  readonly from: number;
  readonly to: number;
}

/** First and last of some bars. */
export type BarRange = readonly [first: number, last: number];

/** The bars of a line as an attribute of it: `0:3.2:11 1:11:40.5`. */
export function lineBarsText(bars: readonly LineBar[]): string {
  const short = (percent: number) => String(Number(percent.toFixed(1)));
  return bars.map((b) => `${b.number}:${short(b.from)}:${short(b.to)}`).join(' ');
}

/** What `lineBarsText` has written. */
export function lineBarsIn(text: string): readonly LineBar[] {
  return text.split(' ').flatMap((word) => {
    const [number, from, to] = word.split(':').map(Number);
    return number === undefined || from === undefined || to === undefined
      ? []
      : [{ number, from, to }];
  });
}

/** The bar at a place of the line, or the nearest; null in a line without any. */
export function barAtPercent(bars: readonly LineBar[], percent: number): number | null {
  const away = (b: LineBar) => Math.max(b.from - percent, 0, percent - b.to);
  return [...bars].sort((a, b) => away(a) - away(b))[0]?.number ?? null;
}

/** What of a line the chosen bars take; null where none of them is in it. */
export function chosenIn(
  bars: readonly LineBar[],
  [first, last]: BarRange,
): { readonly left: number; readonly width: number } | null {
  const own = bars.filter((b) => b.number >= first && b.number <= last);
  const [from, to] = [own[0]?.from, own.at(-1)?.to];
  return from === undefined || to === undefined ? null : { left: from, width: to - from };
}

/**
 * What is chosen by pressing at one bar and letting go at another; pressing the bar that is chosen alone
 * chooses all again.
 * @returns null for all.
 */
export function pressed(from: number, to: number, before: BarRange | null): BarRange | null {
  const range: BarRange = [Math.min(from, to), Math.max(from, to)];
  const again = from === to && before?.[0] === from && before[1] === from;
  return again ? null : range;
}
