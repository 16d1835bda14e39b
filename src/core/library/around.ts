import type { Collection } from './collection';
import { foldText } from './fold';
import { daysOfUse, NO_USES, type Use, type UseDays } from './use';

/**
 * What a library knows of its phrases that does not stand in them: the collections they are in, and
 * when they were used.
 */
export interface Around {
  readonly collections: readonly {
    /** Folded (`foldText`). */
    readonly title: string;
    readonly phrases: ReadonlySet<string>;
  }[];
  readonly uses: UseDays;
  /** The calendar day from which `idle` counts: 2026-11-27. */
  readonly today: string;
}

export const NOTHING_AROUND: Around = { collections: [], uses: NO_USES, today: '1970-01-01' };

/**
 * What questions can ask of a phrase that does not stand in it: its collections and days of use.
 */
export function aroundOf(
  collections: readonly Collection[],
  uses: readonly Use[],
  today: string,
): Around {
  return {
    collections: collections.map((c) => {
      return { title: foldText(c.meta.title), phrases: new Set(c.phrases) };
    }),
    uses: daysOfUse(uses),
    today,
  };
}
