import { useEffect, useMemo, useRef, useState } from 'react';
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
  readonly list: readonly PhraseFacts[];
  readonly filter: string;
  readonly order: string;
  readonly uses: UseDays;
}

const NOTHING: readonly PhraseFacts[] = [];

/**
 * What the filter lets through, in order. Of many it comes a little later, and until then it is what it
 * was: the page answers meanwhile.
 * @param first What begins the list, where that is known before the rest is read.
 * @param reading Whether more facts are coming.
 */
export function useNarrowed(
  facts: readonly PhraseFacts[],
  { filter, order }: LibraryView,
  uses: UseDays,
  first: readonly PhraseFacts[] | null,
  reading: boolean,
): readonly PhraseFacts[] {
  const many = facts.length > AT_ONCE;
  const small = useMemo(
    () => (many ? null : sortPhrases(filterPhrases(facts, filter), order, uses)),
    [many, facts, filter, order, uses],
  );
  const last = useRef<Order | null>(null);
  const [large, setLarge] = useState<readonly PhraseFacts[] | null>(null);
  useEffect(() => {
    if (!many || (reading && first !== null)) return;
    let wanted = true;
    const slices = new Slices(() => wanted);
    const key = JSON.stringify(filter);
    const work = async () => {
      await slices.rest();
      const narrowed = filterPhrases(facts, filter);
      const compare = compareIn(order, uses);
      const before = last.current;
      const same =
        before?.filter === key && before.order === order && before.uses === uses ? before : null;
      const list =
        (same === null ? null : await sortedAgain(same.list, narrowed, compare, slices)) ??
        (await sortedInSlices(narrowed, compare, slices));
      last.current = { list, filter: key, order, uses };
      setLarge(list);
    };
    work().catch((e: unknown) => {
      if (!(e instanceof NoLongerWanted)) throw e;
    });
    return () => {
      wanted = false;
    };
  }, [many, facts, filter, order, uses, reading, first]);
  if (first !== null && reading) return first;
  return small ?? large ?? first ?? NOTHING;
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
