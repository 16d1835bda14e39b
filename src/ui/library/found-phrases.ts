import type { PhraseFacts } from '../../core/library/facts';
import type { IdList } from '../frame/search/id-list';

/** What was found, in order. Of a list as long as the library only what is shown is looked up. */
export interface FoundPhrases {
  readonly length: number;
  /** The facts from one place up to another; what has gone meanwhile is left out. */
  readonly slice: (from: number, to: number) => readonly PhraseFacts[];
  readonly ids: () => readonly string[];
  /** Those of some ids that were found, in order. */
  readonly among: (some: ReadonlySet<string>) => readonly string[];
}

/** What was found, of which the facts are at hand. */
export function foundFacts(list: readonly PhraseFacts[]): FoundPhrases {
  return {
    length: list.length,
    slice: (from, to) => list.slice(from, to),
    ids: () => list.map((f) => f.id),
    among: (some) => {
      const found: string[] = [];
      for (const { id } of list) {
        if (found.length === some.size) break;
        if (some.has(id)) found.push(id);
      }
      return found;
    },
  };
}

/** @param factsOf Of a phrase by its id; null for one that is not there. */
export function foundIds(ids: IdList, factsOf: (id: string) => PhraseFacts | null): FoundPhrases {
  return {
    length: ids.length,
    slice: (from, to) => ids.slice(from, to).flatMap((id) => factsOf(id) ?? []),
    ids: ids.all,
    among: ids.among,
  };
}
