import { useEffect, useState, useSyncExternalStore } from 'react';
import type { LibraryOrder } from '../../../core/library/sort';
import type { Problem } from '../../../core/result';
import type { LikeOne } from '../../../core/search/finder';
import { NotThere, onDemand } from '../../shared/on-demand';
import { useApp } from '../app-context';
import { answerHeard, beginningHeard, NOTHING_HEARD } from './heard';
import type { FoundIds, IndexState, SearchClient } from './search-client';

const searching = onDemand('What finds phrases', () => import('./search-client'));

const NEVER = () => () => undefined;
const NO_INDEX: IndexState = { version: 0, reading: null, unkept: false, trouble: null };
const noIndex = () => NO_INDEX;

/** The index of the library once somebody needs it; null until it is there. */
export function useSearchClient(wanted: boolean): {
  readonly client: SearchClient | null;
  readonly state: IndexState;
} {
  const { store } = useApp();
  const [client, setClient] = useState<SearchClient | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  useEffect(() => {
    if (!wanted || client !== null) return;
    let shown = true;
    // An index that is told of a library that opens would take it for an empty one.
    Promise.all([searching.get(), store.opened()]).then(
      ([m]) => {
        if (shown) setClient(m.searchClient(store));
      },
      (reason: unknown) => {
        if (shown) setTrouble(reason instanceof NotThere ? reason.message : String(reason));
      },
    );
    return () => {
      shown = false;
    };
  }, [wanted, client, store]);
  const state = useSyncExternalStore(client?.subscribe ?? NEVER, client?.state ?? noIndex);
  return { client, state: trouble === null ? state : { ...state, trouble } };
}

/** What was found for the text in the field. */
export interface Search {
  /** The last answer, also while the next one is on its way; null where nothing is asked. */
  readonly answer: FoundIds | null;
  /** What is wrong with the text; the answer is then that of the text before. */
  readonly problem: Problem | null;
  /** No answer has come yet. */
  readonly waiting: boolean;
  /** The answer is only how the whole one begins, which is on its way. */
  readonly partly: boolean;
  readonly reading: IndexState['reading'];
  readonly unkept: boolean;
}

/**
 * @param chosen The order that somebody chose, null for none. @param usual Where nobody did.
 * @param wanted Whether the index is to come although nothing is asked yet.
 */
export function useSearch(
  text: string,
  chosen: LibraryOrder | null,
  usual: LibraryOrder,
  wanted: boolean,
): Search {
  const asks = text.trim() !== '';
  const { client, state } = useSearchClient(asks || wanted);
  const [heard, setHeard] = useState(NOTHING_HEARD);
  // biome-ignore lint/correctness/useExhaustiveDependencies: an index that has grown may know more.
  useEffect(() => {
    if (!asks || client === null) return;
    let shown = true;
    const asked = `${chosen} ${usual} ${text}`;
    const begins = (answer: FoundIds) => {
      if (shown) setHeard((h) => beginningHeard(h, asked, answer));
    };
    void client.find(text, { chosen, usual }, begins).then((found) => {
      if (shown) setHeard((h) => answerHeard(h, asked, found));
    });
    return () => {
      shown = false;
    };
  }, [asks, client, text, chosen, usual, state.version]);
  const [wasAsking, setAsking] = useState(asks);
  if (wasAsking !== asks) {
    setAsking(asks);
    if (!asks) setHeard(NOTHING_HEARD);
  }
  if (!asks) return { ...NOTHING_HEARD, waiting: false, reading: null, unkept: state.unkept };
  const problem = state.trouble === null ? heard.problem : { message: state.trouble };
  return {
    answer: heard.answer,
    problem,
    waiting: heard.answer === null && problem === null,
    partly: heard.partly,
    reading: state.reading,
    unkept: state.unkept,
  };
}

/** So many that are like a phrase are shown. */
const MOST_LIKE = 60;

/**
 * What is like a phrase, the likest first.
 * @param id Empty for none.
 * @returns null while no answer has come, or where nothing is asked.
 */
export function useLike(id: string): readonly LikeOne[] | null {
  const { client, state } = useSearchClient(id !== '');
  const [heard, setHeard] = useState<{ id: string; like: readonly LikeOne[] } | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: an index that has grown may know more.
  useEffect(() => {
    if (id === '' || client === null) return;
    let shown = true;
    void client.like(id, MOST_LIKE).then((like) => {
      if (shown) setHeard({ id, like });
    });
    return () => {
      shown = false;
    };
  }, [id, client, state.version]);
  return heard?.id === id ? heard.like : null;
}
