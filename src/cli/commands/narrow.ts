import { readGoal } from '../../core/move/goal';
import { movePhrase } from '../../core/move/move';
import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { AlikeIndex } from '../../core/search/alike/alike';
import { alikeLine } from '../../core/search/alike/line';
import { sheetOf } from '../../core/search/catalogue/sheet';

/** The likest of some phrases first; those that share nothing with it are left out. */
export function likestOf<T extends { readonly phrase: Phrase }>(
  like: Phrase,
  all: readonly T[],
): readonly (T & { readonly unlikeness: number })[] {
  const index = new AlikeIndex();
  for (const [i, c] of all.entries()) index.put(i, alikeLine(sheetOf(c.phrase)));
  const found = index.find(alikeLine(sheetOf(like)), all.length);
  return found.map(({ number, unlikeness }) => ({ ...all[number]!, unlikeness }));
}

/**
 * The phrases that can be moved to a lane and played there, those first of which least has to be
 * done otherwise than by the bare rules.
 * @returns what is wrong where the lane cannot be read in any of their keys.
 */
export function fittingTo<T extends { readonly phrase: Phrase }>(
  lane: string,
  all: readonly T[],
): Result<readonly T[]> {
  const fitting: { readonly one: T; readonly dear: number }[] = [];
  let unread: Result<never> | null = null;
  for (const one of all) {
    const to = readGoal({ kind: 'lane', text: lane }, one.phrase.key);
    if (!to.ok) {
      unread = fail(...to.problems);
      continue;
    }
    const moved = movePhrase(one.phrase, { to: to.value });
    if (!moved.ok || moved.value.report.unplayable.length > 0) continue;
    const { notes, general } = moved.value.report;
    const done = [...general, ...notes.flatMap((n) => n.adaptations)];
    fitting.push({ one, dear: done.filter((a) => a.fallback).length });
  }
  if (unread !== null && fitting.length === 0) return unread;
  // Sorting keeps the order of equals.
  return ok(fitting.sort((a, b) => a.dear - b.dear).map((f) => f.one));
}
