import type { TupletRatio } from '../../../core/phrase/tuplet-ratio';
import { TUPLET_RATIOS, tupletRatio } from '../../../core/phrase/tuplet-ratios';
import type { Ratio } from './value';

/**
 * The ratios with the same division of time that a phrase can have, the one that is written first, the
 * smallest groups next: of 6:4 then 3:2, of 9:4 only 9:8 in half the values. Empty for 11:8.
 */
export function ratiosLike(written: Ratio): readonly TupletRatio[] {
  const key = `${written.actual}:${written.normal}`;
  const known = LIKE.get(key);
  if (known !== undefined) return known;
  const own = tupletRatio(written.actual, written.normal);
  const like = TUPLET_RATIOS.filter((r) => r !== own && sameDivision(r, written));
  const all = own === null ? like : [own, ...like];
  // A file has a handful; one that is made to have thousands is not remembered.
  if (LIKE.size < MOST_REMEMBERED) LIKE.set(key, all);
  return all;
}

const LIKE = new Map<string, readonly TupletRatio[]>();
const MOST_REMEMBERED = 200;

/** Whether two ratios divide time alike: their quotient is a power of two. */
export function sameDivision(a: Ratio, b: Ratio): boolean {
  return oddPart(a.actual * b.normal) === oddPart(a.normal * b.actual);
}

/** What is left of a number when all its factors of two are taken out. */
export function oddPart(n: number): number {
  return n % 2 === 0 ? oddPart(n / 2) : n;
}
