import { NO_HISTORY } from '../core/edit/steps';
import type { HistoryStore } from './history-store';
import { randomId } from './random-id';

/**
 * The steps of this browser, opened at their first use: a page that only shows music does without
 * what keeps them. Where that cannot be fetched, steps last as long as the window, like anywhere
 * else that nothing is kept.
 */
export function historiesLater(
  open: () => Promise<HistoryStore> = async () =>
    (await import('./history-store')).openHistories(randomId),
): HistoryStore {
  let opened: Promise<HistoryStore> | null = null;
  const run = async <T>(otherwise: T, use: (store: HistoryStore) => T | Promise<T>): Promise<T> => {
    opened ??= open();
    try {
      // Answers come in the order asked, since all wait for the same promise.
      return await use(await opened);
    } catch {
      opened = null;
      return otherwise;
    }
  };
  return {
    load: (id, phrase) => run(NO_HISTORY, (store) => store.load(id, phrase)),
    keep: (id, history, phrase) => void run(undefined, (store) => store.keep(id, history, phrase)),
    prune: (ids) => run(undefined, (store) => store.prune(ids)),
    flush: async () => {
      if (opened !== null) await run(undefined, (store) => store.flush());
    },
    close: async () => {
      if (opened !== null) await run(undefined, (store) => store.close());
    },
  };
}
