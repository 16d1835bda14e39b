import { type Birth, childOf } from '../move/child';
import type { Phrase } from '../phrase/types';
import { type VariationId, variationOf } from './table';

/** What a variation is called: `Third Rung, in sixths, slid into from below`. */
export function variedTitle(parent: Phrase, how: readonly VariationId[]): string {
  return [parent.meta.title, ...how.map((id) => variationOf(id).words)].join(', ');
}

/** A variation as a phrase of its own that knows what it was made from. */
export function variedChild(
  parent: Phrase,
  varied: Phrase,
  how: readonly VariationId[],
  birth: Omit<Birth, 'title'>,
): Phrase {
  return childOf(parent, varied, { ...birth, title: variedTitle(parent, how) });
}
