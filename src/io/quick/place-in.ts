import type { Phrase } from '../../core/phrase/types';

/**
 * Where the innermost part that a pointer leads to begins in the text.
 * @param inHead Places of what stands in the head, by the first steps of a pointer.
 */
export function placeIn(
  phrase: Phrase,
  pointer: string,
  places: ReadonlyMap<object, number>,
  inHead: ReadonlyMap<string, number>,
): number | null {
  const path = pointer.split('/').slice(1);
  let value: unknown = phrase;
  let found = inHead.get(path.slice(0, 2).join('/')) ?? null;
  found ??= inHead.get(path[0] ?? '') ?? null;
  for (const key of path) {
    if (typeof value !== 'object' || value === null) break;
    value = (value as Readonly<Record<string, unknown>>)[key];
    if (typeof value === 'object' && value !== null) found = places.get(value) ?? found;
  }
  return found;
}
