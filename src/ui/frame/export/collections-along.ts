import { useMemo } from 'react';
import { type Collection, restrictedTo } from '../../../core/library/collection';
import type { Thing } from '../../../io/kinds/kind';
import { COLLECTIONS } from '../../../io/kinds/kinds';
import { useApp } from '../app-context';

/** So many titles are named; of more, how many. */
const NAMED = 4;

/** The collections that some phrases are in, by their ids, each with these phrases only. */
export function useCollectionsOf(phrases: readonly string[]): readonly Thing<Collection>[] {
  const { store } = useApp();
  return useMemo(() => {
    const all = store.of(COLLECTIONS).all();
    // Of a whole library it is a long list.
    const ids = new Set(all.length === 0 ? [] : phrases);
    return all.flatMap(({ value }) => {
      const some = restrictedTo(value, ids);
      return some === null ? [] : [{ kind: COLLECTIONS, value: some }];
    });
  }, [store, phrases]);
}

/** `“Week 3”, “Anna” and 2 more`: who gets the file reads them, so they are named before. */
export function namesOf(collections: readonly Thing<Collection>[]): string {
  const titles = collections.map(({ value }) => `“${value.meta.title.trim() || 'Untitled'}”`);
  const more = titles.length - NAMED;
  const named = titles.slice(0, NAMED).join(', ');
  return more > 0 ? `${named} and ${more} more` : named;
}

/** What else goes with them, for who would rather keep it: empty, or said after their names. */
export function notesOf(collections: readonly Thing<Collection>[]): string {
  const noted = collections.filter(({ value }) => (value.meta.notes ?? '').trim() !== '');
  if (noted.length === 0) return '';
  return `; what you noted about ${noted.length === collections.length ? 'them' : namesOf(noted)} goes with them`;
}
