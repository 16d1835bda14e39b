import type { Phrase } from '../../core/phrase/types';
import { AlikeIndex } from '../../core/search/alike/alike';
import { alikeLine } from '../../core/search/alike/line';
import { sheetOf } from '../../core/search/catalogue/sheet';

/** The likest of some phrases first; those that share nothing with it are left out. */
export function likestOf<T extends { readonly phrase: Phrase }>(
  like: Phrase,
  all: readonly T[],
): readonly { readonly is: T; readonly unlikeness: number }[] {
  const index = new AlikeIndex();
  for (const [i, c] of all.entries()) index.put(i, alikeLine(sheetOf(c.phrase)));
  const found = index.find(alikeLine(sheetOf(like)), all.length);
  return found.map(({ number, unlikeness }) => ({ is: all[number]!, unlikeness }));
}
