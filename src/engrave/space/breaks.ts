/** What the choice of line breaks knows of a bar. */
export interface BarWidth {
  readonly least: number;
  readonly ideal: number;
}

/**
 * Divides bars into lines so that the lines are filled as evenly as possible: the sum of the squared
 * deviations from the ideal width is smallest (dynamic programming over the breaks). A bar that is
 * wider than a line gets one of its own.
 * @param first Room for bars in the first line, which has the time signature too.
 * @param others Room in the others.
 * @returns index of the first bar of each line.
 */
export function chooseBreaks(
  bars: readonly BarWidth[],
  first: number,
  others: number,
): readonly number[] {
  const n = bars.length;
  const cost = new Float64Array(n + 1).fill(Number.POSITIVE_INFINITY);
  const from = new Int32Array(n + 1);
  cost[0] = 0;
  for (let end = 1; end <= n; end++) {
    let least = 0;
    let ideal = 0;
    for (let start = end - 1; start >= 0; start--) {
      least += bars[start]!.least;
      ideal += bars[start]!.ideal;
      const room = start === 0 ? first : others;
      if (least > room && start < end - 1) break;
      const c = cost[start]! + badness(least, ideal, room, end === n);
      if (c < cost[end]!) {
        cost[end] = c;
        from[end] = start;
      }
    }
  }
  const starts: number[] = [];
  for (let end = n; end > 0; end = from[end]!) starts.unshift(from[end]!);
  return starts;
}

function badness(least: number, ideal: number, room: number, last: boolean): number {
  if (least > room) return 100;
  const stretch = room / Math.max(ideal, least, 1);
  // Too loose and too tight count alike on a logarithmic scale; a short last line may stay short.
  const off = Math.log(stretch / 1.1);
  return last && off > 0 ? off * off * 0.6 : off * off;
}
