import { NO_HISTORY } from '../core/edit/steps';
import type { HistoryStore } from './history-store';
import { openedLater } from './opened-later';
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
  const { run, ifOpen } = openedLater(open);
  return {
    load: (id, phrase) => run(NO_HISTORY, (store) => store.load(id, phrase)),
    keep: (id, history, phrase) => void run(undefined, (store) => store.keep(id, history, phrase)),
    prune: (ids) => run(undefined, (store) => store.prune(ids)),
    flush: () => ifOpen((store) => store.flush()),
    close: () => ifOpen((store) => store.close()),
  };
}
