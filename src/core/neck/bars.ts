import { barSpans } from '../phrase/time';
import type { Phrase } from '../phrase/types';
import type { Moment } from './problem';

/** Where a moment stands among the bars. */
export interface BarPlace {
  /** Number of its bar; the pickup is bar 0. */
  readonly number: number;
  /** Bars before it as a number with a fraction: 2.5 is the middle of the third bar there is. */
  readonly at: number;
}

/** The bar of every moment, in one walk through the phrase. */
export function barPlaces(
  phrase: Pick<Phrase, 'pickup' | 'bars' | 'length'>,
  moments: readonly Pick<Moment, 'onset'>[],
): readonly BarPlace[] {
  const spans = barSpans(phrase);
  let i = 0;
  return moments.map(({ onset }) => {
    while (i + 1 < spans.length && spans[i + 1]!.start <= onset) i++;
    const { number, start, end } = spans[i]!;
    return { number, at: i + (end > start ? (onset - start) / (end - start) : 0) };
  });
}
