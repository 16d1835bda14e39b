import type { LibraryOrder } from '../../library/sort';
import type { Search } from '../query/types';
import type { Catalogue } from './catalogue';
import { evaluate } from './evaluate';

export interface Answer {
  /** How many phrases are what was looked for. */
  readonly total: number;
  /** Their ids in the order asked for, as many as were asked for. */
  readonly ids: readonly string[];
}

/**
 * The phrases that are what was looked for.
 * @param most So many ids; the total counts all.
 * @param usual The order where the search names none.
 */
export function answer(
  c: Catalogue,
  search: Search,
  most = Number.POSITIVE_INFINITY,
  usual: LibraryOrder = 'title',
): Answer {
  const found = evaluate(search.query, c, c.alive);
  const { by, reversed } = search.order ?? { by: usual, reversed: false };
  const sorted = c.sorted(by);
  const total = found.count;
  const ids: string[] = [];
  for (let i = 0; i < sorted.length && ids.length < Math.min(most, total); i++) {
    const n = sorted[reversed ? sorted.length - 1 - i : i]!;
    if (found.has(n)) ids.push(c.factsOf(n).id);
  }
  return { total, ids };
}
