import type { Sketch } from './sketch';

/** Steps of the head that are looked for. */
const HEAD = 5;

/** Fewer say nothing. */
const FEWEST = 2;

/**
 * How like the first five steps of a phrase are to the best place of another, 0 to 1: half for
 * direction and size, a quarter each for the note value and the very interval.
 */
export function echo(earlier: Sketch, phrase: Sketch): number {
  const k = Math.min(HEAD, earlier.steps.length, phrase.steps.length);
  if (k < FEWEST) return 0;
  let best = 0;
  for (let at = 0; at + k <= earlier.steps.length; at++) {
    let quarters = 0;
    for (let j = 0; j < k; j++) {
      const i = at + j;
      if (earlier.steps[i] === phrase.steps[j]) quarters += 2;
      if (earlier.values[i] === phrase.values[j]) quarters++;
      if (earlier.intervals[i] === phrase.intervals[j]) quarters++;
    }
    if (quarters > best) best = quarters;
  }
  return best / (4 * k);
}
