/** Taps are one row while none comes later than this after the one before, in milliseconds. */
const LATEST = 2400;
/** So many of the last are counted, so that a hand that settles is believed. */
const MOST = 9;
/** A tap nearer to the one before than this is a key that bounced, in milliseconds. */
const BOUNCE = 120;

/** The row of taps with one more. @param at Milliseconds. */
export function tapped(taps: readonly number[], at: number): readonly number[] {
  const last = taps.at(-1);
  if (last !== undefined && at - last < BOUNCE) return taps;
  return last === undefined || at - last > LATEST ? [at] : [...taps, at].slice(-MOST);
}

/**
 * The tempo of a row of taps: the line of least squares through tap and number, which evens out a hand that is off.
 * @returns Beats a minute to a tenth; null for fewer than three taps.
 */
export function tempoOfTaps(taps: readonly number[]): number | null {
  const n = taps.length;
  if (n < 3) return null;
  const middle = (n - 1) / 2;
  const mean = taps.reduce((a, b) => a + b, 0) / n;
  let up = 0;
  let spread = 0;
  taps.forEach((t, i) => {
    up += (i - middle) * (t - mean);
    spread += (i - middle) ** 2;
  });
  return Math.round((10 * 60_000 * spread) / up) / 10;
}
