import { useCallback, useDeferredValue, useMemo, useState, useSyncExternalStore } from 'react';
import type { LibraryChoices } from '../../core/library/choices';
import type { PhraseFacts } from '../../core/library/facts';
import { isNoFilter } from '../../core/library/filter';
import { LIBRARY_ORDERS, type LibraryOrder } from '../../core/library/sort';
import type { LikeOne } from '../../core/search/finder';
import { COLLECTIONS } from '../../io/kinds/kinds';
import type { PhraseEntry } from '../../storage/types';
import { useApp } from '../frame/app-context';
import { useAround } from '../frame/around-library';
import type { RouteOf } from '../frame/route';
import { listOfIds } from '../frame/search/id-list';
import { type Search, useLike, useSearch } from '../frame/search/use-search';
import { navigate } from '../frame/use-route';
import { factsRead } from './facts-reader';
import { type FoundPhrases, foundFacts, foundIds } from './found-phrases';
import { type LibraryView, readView, writeView } from './library-query';
import { type ReadLibrary, useFacts, useKeepFirst } from './use-facts';
import { useChoicesOf, useNarrowed } from './use-narrowed';

/** What is asked of the library, and what was found. */
export interface Asked {
  readonly facts: readonly PhraseFacts[];
  readonly reading: ReadLibrary['reading'];
  readonly choices: LibraryChoices;
  readonly view: LibraryView;
  /** The order where none is chosen and no words are asked for. */
  readonly usual: LibraryOrder;
  /** The view that what was found belongs to: a moment behind while one types. */
  readonly looked: LibraryView;
  readonly search: Search;
  /** In the order asked for. */
  readonly found: FoundPhrases;
  readonly seeking: boolean;
  /** Nothing but what came along is here. */
  readonly onlySamples: boolean;
  readonly show: (next: LibraryView) => void;
  /** Somebody is about to ask. */
  readonly begin: () => void;
}

/** @param opening Nothing but how the list begins is known so far. */
export function useAsked(
  phrases: readonly PhraseEntry[],
  opening: boolean,
  route: RouteOf<'library'>,
): Asked {
  const { facts, reading, first } = useFacts(phrases, opening);
  // Who has nothing but what came along begins with what is easy on a guitar.
  const onlySamples = useMemo(() => !opening && phrases.every((s) => s.sample), [phrases, opening]);
  const usual: LibraryOrder = onlySamples ? 'begin' : LIBRARY_ORDERS[0];
  const view = useMemo(() => readView(route.query), [route.query]);
  const choices = useChoices(facts);
  // Typing shows at once; the list follows when it can.
  const looked = useDeferredValue(view);
  const [begun, setBegun] = useState(false);
  const search = useSearch(view.filter.words, view.order, usual, begun);
  const { uses } = useAround();
  // Nothing fits better than another before words are looked for.
  const order = looked.order ?? usual;
  const plain = isNoFilter(looked.filter) && order === usual && !onlySamples;
  const narrowing = useNarrowed(
    facts,
    looked.filter,
    order,
    uses,
    plain ? first : null,
    reading !== null,
  );
  const { list: narrowed, pending } = narrowing;
  const whole = plain && reading === null && narrowing.of === facts;
  useKeepFirst(narrowed, facts, phrases, whole);
  const like = useLike(view.filter.like);
  const found = useFound({ view, looked, like, search, narrowed, reading, begun });
  const seeking =
    pending ||
    (opening && !plain) ||
    search.waiting ||
    search.partly ||
    (view.filter.like !== '' && like === null);
  const show = useCallback((next: LibraryView) => {
    navigate({ page: 'library', query: writeView(next) }, 'replace');
  }, []);
  const begin = useCallback(() => setBegun(true), []);
  return {
    facts,
    reading,
    choices,
    view,
    usual,
    looked,
    search,
    found,
    seeking,
    onlySamples,
    show,
    begin,
  };
}

/** What occurs in the library, to choose from. */
function useChoices(facts: readonly PhraseFacts[]): LibraryChoices {
  const { store } = useApp();
  const stored = useSyncExternalStore(
    (changed) => store.subscribe(changed),
    () => store.of(COLLECTIONS).all(),
  );
  const choices = useChoicesOf(facts);
  return useMemo(() => {
    const collections = stored
      .map(({ value }) => ({ title: value.meta.title, count: value.phrases.length }))
      .filter((c) => c.title.trim() !== '');
    return { ...choices, collections };
  }, [choices, stored]);
}

interface ToFind extends Pick<Asked, 'view' | 'looked' | 'search' | 'reading'> {
  readonly like: readonly LikeOne[] | null;
  readonly narrowed: readonly PhraseFacts[];
  readonly begun: boolean;
}

/** What the index answers, as far as the panel lets it through. */
function useFound(to: ToFind): FoundPhrases {
  const { view, looked, like, search, narrowed, reading, begun } = to;
  const { store } = useApp();
  const { answer, waiting } = search;
  const all = isNoFilter({ ...looked.filter, words: '', like: '' });
  const within = useMemo(() => (all ? null : new Set(narrowed.map((f) => f.id))), [all, narrowed]);
  return useMemo(() => {
    const factsOf = (id: string) => {
      const stored = store.phrase(id);
      return stored === null ? null : factsRead(stored);
    };
    const passes = (id: string) => (within === null ? factsOf(id) !== null : within.has(id));
    if (view.filter.like !== '') {
      const likest = (like ?? []).map(({ id }) => id);
      // The likest are few, and the answer may be the library.
      const asked = answer === null ? null : new Set(answer.ids.among(new Set(likest)));
      const among = likest.filter((id) => asked?.has(id) !== false && passes(id));
      return foundIds(listOfIds(among), factsOf);
    }
    if (answer === null) return foundFacts(waiting && !begun ? [] : narrowed);
    // Once all are read, the index has no other phrases than the list: none is looked up before it is shown.
    const known = within === null && reading === null;
    return foundIds(known ? answer.ids : listOfIds(answer.ids.all().filter(passes)), factsOf);
  }, [store, view.filter.like, answer, like, waiting, begun, narrowed, within, reading]);
}
