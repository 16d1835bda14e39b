import type { Collection } from '../../core/library/collection';
import type { Pair } from '../../core/library/pair';
import type { SavedSearch } from '../../core/library/saved-search';
import type { Use } from '../../core/library/use';
import { noDay } from '../../core/plan/calendar';
import { fail, ok, type Result } from '../../core/result';
import { collectionSchema, pairSchema, searchSchema, useSchema } from './order-schema';
import { structured } from './structured';
import {
  COLLECTION_MIGRATIONS,
  PAIR_MIGRATIONS,
  SEARCH_MIGRATIONS,
  USE_MIGRATIONS,
} from './versions';

/*
 * Each takes JSON text or a parsed value: migrated to the newest version, structure and sense checked.
 * They never throw; time and memory are bounded (`LIMITS`).
 */

/** A collection from JSON text or a parsed value: migrated, checked, each phrase named once. */
export function decodeCollection(input: unknown): Result<Collection> {
  return eachOnce(structured(input, COLLECTION_MIGRATIONS, collectionSchema), 'collection');
}

/** A stored search; else what is wrong with it, with the path of the field. */
export function decodeSearch(input: unknown): Result<SavedSearch> {
  return structured(input, SEARCH_MIGRATIONS, searchSchema);
}

/** A stored use; else what is wrong with it, with the path of the field. */
export function decodeUse(input: unknown): Result<Use> {
  const read = eachOnce(structured(input, USE_MIGRATIONS, useSchema), 'use');
  const senseless = read.ok ? noDay(read.value.day, '/day') : [];
  return senseless.length === 0 ? read : fail(...senseless);
}

/** A stored pair of phrases that are both wanted; else what is wrong with it, with the path of the field. */
export function decodePair(input: unknown): Result<Pair> {
  const read = eachOnce(structured(input, PAIR_MIGRATIONS, pairSchema), 'pair');
  if (!read.ok) return read;
  // Of the length that the schema asks for.
  const [a = '', b = ''] = read.value.phrases;
  return ok({ ...read.value, phrases: [a, b] });
}

function eachOnce<T extends { readonly phrases: readonly string[] }>(
  read: Result<T>,
  noun: string,
): Result<T> {
  if (!read.ok) return read;
  const seen = new Set<string>();
  for (const [i, id] of read.value.phrases.entries()) {
    if (seen.has(id)) {
      return fail({
        message: `the ${noun} names the phrase ${id} twice`,
        fix: 'Remove one of the two.',
        pointer: `/phrases/${i}`,
      });
    }
    seen.add(id);
  }
  return read;
}
