import { useEffect, useMemo, useState } from 'react';
import { ChoiceCounter, choicesOf, type LibraryChoices } from '../../core/library/choices';
import type { PhraseFacts } from '../../core/library/facts';
import { filterPhrases } from '../../core/library/filter';
import { compareIn, sortPhrases } from '../../core/library/sort';
import type { UseDays } from '../../core/library/use';
import { NoLongerWanted, Slices, sortedAgain, sortedInSlices } from './in-slices';
import type { LibraryView } from './library-query';

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
  { filter, order }: LibraryView,
  uses: UseDays,
): readonly PhraseFacts[] | null {
  if (last === null || last.order !== order || last.uses !== uses) return null;
  if (last.filter !== JSON.stringify(filter) || last.of.length !== facts.length) return null;
  const { of } = last;
  return facts.every((f, i) => f === of[i]) ? last.list : null;
}

/**
 * What the filter lets through, in order. Of many it comes a little later, and until then it is what it
 * was: the page answers meanwhile.
 * @param first What begins the list, where that is known before the rest is read.
 * @param reading Whether more facts are coming.
 */
export function useNarrowed(
  facts: readonly PhraseFacts[],
  view: LibraryView,
  uses: UseDays,
  first: readonly PhraseFacts[] | null,
  reading: boolean,
): { readonly list: readonly PhraseFacts[]; readonly pending: boolean } {
  const { filter, order } = view;
  const many = facts.length > AT_ONCE;
  const small = useMemo(
    () => (many ? null : sortPhrases(filterPhrases(facts, filter), order, uses)),
    [many, facts, filter, order, uses],
  );
  const [large, setLarge] = useState(() => (many ? lastOf(facts, view, uses) : null));
  useEffect(() => {
    if (!many || (reading && first !== null)) return;
    let wanted = true;
    const slices = new Slices(() => wanted);
    const key = JSON.stringify(filter);
    const work = async () => {
      await slices.rest();
      const narrowed = filterPhrases(facts, filter);
      const compare = compareIn(order, uses);
      const before = last;
      const same =
        before?.filter === key && before.order === order && before.uses === uses ? before : null;
      const list =
        (same === null ? null : await sortedAgain(same.list, narrowed, compare, slices)) ??
        (await sortedInSlices(narrowed, compare, slices));
      last = { of: facts, list, filter: key, order, uses };
      setLarge(list);
    };
    work().catch((e: unknown) => {
      if (!(e instanceof NoLongerWanted)) throw e;
    });
    return () => {
      wanted = false;
    };
  }, [many, facts, filter, order, uses, reading, first]);
  if (first !== null && reading) return { list: first, pending: false };
  const list = small ?? large ?? first;
  return { list: list ?? NOTHING, pending: list === null };
}

/** What occurs in the library, to choose from; of many it comes a little later. */
export function useChoicesOf(facts: readonly PhraseFacts[]): LibraryChoices {
  const many = facts.length > AT_ONCE;
  const small = useMemo(() => (many ? null : choicesOf(facts)), [many, facts]);
  const [large, setLarge] = useState<LibraryChoices | null>(null);
  useEffect(() => {
    if (!many) return;
    let wanted = true;
    const slices = new Slices(() => wanted);
    const work = async () => {
      const counter = new ChoiceCounter();
      for (const f of facts) {
        counter.add(f);
        const rest = slices.pass();
        if (rest !== null) await rest;
      }
      setLarge(counter.choices());
    };
    work().catch((e: unknown) => {
      if (!(e instanceof NoLongerWanted)) throw e;
    });
    return () => {
      wanted = false;
    };
  }, [many, facts]);
  return useMemo(() => small ?? large ?? choicesOf([]), [small, large]);
}
