import { describe, expect, it } from 'vitest';
import { type History, NO_HISTORY } from '../../src/core/edit/steps';
import type { HistoryStore } from '../../src/storage/history-store';
import { historiesLater } from '../../src/storage/later-histories';
import { phraseNamed } from './support';

const phrase = phraseNamed('a', 'Start');
const history: History = { steps: [], done: 3 };

/** What is asked of it, in order; every answer takes a while. */
function recorder(): { readonly asked: string[]; readonly store: HistoryStore } {
  const asked: string[] = [];
  return {
    asked,
    store: {
      load: async (id) => {
        asked.push(`load ${id}`);
        return history;
      },
      keep: (id) => void asked.push(`keep ${id}`),
      prune: async (ids) => void asked.push(`prune ${[...ids].join()}`),
      flush: async () => void asked.push('flush'),
      close: async () => void asked.push('close'),
    },
  };
}

describe('steps that are opened at their first use', () => {
  it('are not opened before, and not for having nothing to write', async () => {
    let opened = 0;
    const later = historiesLater(async () => {
      opened++;
      return recorder().store;
    });
    await later.flush();
    await later.close();
    expect(opened).toBe(0);
    await later.load('a', phrase);
    await later.prune(new Set());
    expect(opened).toBe(1);
  });

  it('are asked in the order in which they were called while they opened', async () => {
    const { asked, store } = recorder();
    let open: (s: HistoryStore) => void = () => {};
    const later = historiesLater(() => new Promise((resolve) => (open = resolve)));
    later.keep('a', history, phrase);
    const flushed = later.flush();
    const loaded = later.load('b', phrase);
    const pruned = later.prune(new Set(['b']));
    open(store);
    expect(await loaded).toBe(history);
    await Promise.all([flushed, pruned, later.close()]);
    expect(asked).toEqual(['keep a', 'flush', 'load b', 'prune b', 'close']);
  });

  it('are none where they cannot be fetched, and are fetched again at the next use', async () => {
    const { asked, store } = recorder();
    let reachable = false;
    const later = historiesLater(async () => {
      if (!reachable) throw new Error('no network');
      return store;
    });
    expect(await later.load('a', phrase)).toEqual(NO_HISTORY);
    await later.flush();
    reachable = true;
    expect(await later.load('a', phrase)).toBe(history);
    expect(asked).toEqual(['load a']);
  });
});
