import { useEffect, useMemo, useState } from 'react';
import { choicesOf, type LibraryChoices } from '../../core/library/choices';
import type { PhraseFacts } from '../../core/library/facts';
import { filterPhrases, type LibraryFilter } from '../../core/library/filter';
import { compareIn, type LibraryOrder, sortPhrases } from '../../core/library/sort';
import type { UseDays } from '../../core/library/use';
import { onDemand } from '../shared/on-demand';

/** Of a large library only. */
const inOrder = onDemand('What puts a long list in order', () => import('./in-slices'));

/** Fewer are put in order at once, within a frame or two. */
export const AT_ONCE = 1_500;

interface Order {
  readonly of: readonly PhraseFacts[];
  readonly list: readonly PhraseFacts[];
  readonly filter: string;
  readonly order: string;
  readonly uses: UseDays;
}

const NOTHING: readonly PhraseFacts[] = [];

/** The last order that was made: who comes back to the list finds it as it was, at once. */
let last: Order | null = null;

function lastOf(
  facts: readonly PhraseFacts[],
  filter: string,
  order: LibraryOrder,
  uses: UseDays,
): Pick<Order, 'of' | 'list'> | null {
  if (last === null || last.order !== order || last.uses !== uses) return null;
  if (last.filter !== filter || last.of.length !== facts.length) return null;
  const { of } = last;
  return facts.every((f, i) => f === of[i]) ? { of: facts, list: last.list } : null;
}

export interface Narrowed {
  readonly list: readonly PhraseFacts[];
  /** The facts that it was made of; null for what is known of the list before they are read. */
  readonly of: readonly PhraseFacts[] | null;
  readonly pending: boolean;
}

/**
 * What the filter lets through, in order. Of many it comes a little later, and until then it is what it
 * was: the page answers meanwhile.
 * @param first What begins the list, where that is known before the rest is read.
 * @param reading Whether more facts are coming.
 */
export function useNarrowed(
  facts: readonly PhraseFacts[],
  asked: LibraryFilter,
  order: LibraryOrder,
  uses: UseDays,
  first: readonly PhraseFacts[] | null,
  reading: boolean,
): Narrowed {
  // The index answers words and likeness: while one types, the order stays as it is.
  const key = JSON.stringify({ ...asked, words: '', like: '' });
  const filter = useMemo(() => JSON.parse(key) as LibraryFilter, [key]);
  const many = facts.length > AT_ONCE;
  const small = useMemo(
    () => (many ? null : sortPhrases(filterPhrases(facts, filter), order, uses)),
    [many, facts, filter, order, uses],
  );
  /** What begins the list is shown until all is read. */
  const waits = reading && first !== null;
  const [large, setLarge] = useState(() => (many ? lastOf(facts, key, order, uses) : null));
  useEffect(() => {
    if (!many || waits) return;
    let wanted = true;
    const same =
      last?.filter === key && last.order === order && last.uses === uses ? last.list : null;
    const keep = (list: readonly PhraseFacts[] | null) => {
      if (list === null || !wanted) return;
      last = { of: facts, list, filter: key, order, uses };
      setLarge(last);
    };
    inOrder.get().then(
      async (m) => {
        const compare = compareIn(order, uses);
        keep(
          await m.putInOrder(
            () => filterPhrases(facts, filter),
            same,
            compare,
            () => wanted,
          ),
        );
      },
      // Without it the page stands still for a moment.
      () => keep(sortPhrases(filterPhrases(facts, filter), order, uses)),
    );
    return () => {
      wanted = false;
    };
  }, [many, facts, key, filter, order, uses, waits]);
  if (first !== null && (reading || (many && large === null)))
    return { list: first, of: null, pending: false };
  if (small !== null) return { list: small, of: facts, pending: false };
  return large === null ? { list: NOTHING, of: null, pending: true } : { ...large, pending: false };
}

/** What occurs in the library, to choose from; of many it comes a little later. */
export function useChoicesOf(facts: readonly PhraseFacts[]): LibraryChoices {
  const many = facts.length > AT_ONCE;
  const small = useMemo(() => (many ? null : choicesOf(facts)), [many, facts]);
  const [large, setLarge] = useState<LibraryChoices | null>(null);
  useEffect(() => {
    if (!many) return;
    let wanted = true;
    const keep = (choices: LibraryChoices | null) => {
      if (choices !== null && wanted) setLarge(choices);
    };
    inOrder.get().then(
      async (m) => keep(await m.choicesInSlices(facts, () => wanted)),
      () => keep(choicesOf(facts)),
    );
    return () => {
      wanted = false;
    };
  }, [many, facts]);
  return useMemo(() => small ?? large ?? choicesOf([]), [small, large]);
}
