import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { LibraryStore, StoredPhrase } from '../../../src/storage/types';
import type { ToIndex } from '../../../src/ui/frame/search/messages';
import { SearchClient } from '../../../src/ui/frame/search/search-client';
import { phraseNamed } from '../../support/phrase-named';

/** What the worker was told, and how it answers. */
let told: ToIndex[] = [];
let answer: (message: unknown) => void = () => {};

class NoWorker {
  onmessage: ((e: { data: unknown }) => void) | null = null;
  constructor() {
    answer = (data) => this.onmessage?.({ data });
  }
  postMessage(message: ToIndex): void {
    told.push(message);
  }
}

function stored(id: string, revision = 1): StoredPhrase {
  const phrase = phraseNamed(id, id);
  const entry = { id, revision, sum: revision, identity: phrase.meta, sample: false };
  return { ...entry, phrase, peek: () => phrase } as unknown as StoredPhrase;
}

/** A library whose phrases are read when the test says so. */
function library(all: StoredPhrase[]) {
  let snapshot = { phrases: all, state: 'ready', news: { before: null, ids: new Set<string>() } };
  let changed = () => {};
  const loads: { ids: readonly string[]; come: (how?: 'fails') => void }[] = [];
  const store = {
    snapshot: () => snapshot,
    subscribe: (listener: () => void) => {
      changed = listener;
      return () => {};
    },
    of: () => ({ all: () => NONE }),
    phrase: (id: string) => snapshot.phrases.find((p) => p.id === id) ?? null,
    loadAll: (ids: readonly string[]) =>
      new Promise((resolve, reject) => {
        const found = snapshot.phrases.filter((p) => ids.includes(p.id));
        const come = (how?: 'fails') => (how ? reject(new Error('cut')) : resolve(found));
        loads.push({ ids, come });
      }),
  };
  const now = (phrases: StoredPhrase[]) => {
    snapshot = { ...snapshot, phrases };
    changed();
  };
  return { store: store as unknown as LibraryStore, loads, now };
}
const NONE: readonly never[] = [];

const put = () =>
  told.flatMap((m) => (m.kind === 'put' ? [m.phrases.map((p) => [p.phrase.id, p.stamp])] : []));
const settle = () => vi.advanceTimersByTimeAsync(1);

beforeEach(() => {
  told = [];
  vi.useFakeTimers();
  vi.stubGlobal('Worker', NoWorker);
  vi.stubGlobal('document', { hidden: false });
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

async function begun(all: StoredPhrase[]) {
  const lib = library(all);
  const client = new SearchClient(lib.store);
  await settle();
  answer({ kind: 'wants', ids: all.map((p) => p.id).join(' ') });
  await settle();
  return { ...lib, client };
}
const many = Array.from({ length: 200 }, (_, i) => stored(`p${i}`));

it('reads the next phrases while the index takes the last, and tells them in order', async () => {
  const { loads } = await begun(many);
  expect(loads.map((l) => l.ids.length)).toEqual([64, 64]);
  loads[1]!.come();
  await settle();
  expect(put()).toHaveLength(0);
  loads[0]!.come();
  await settle();
  expect(put().map((some) => some[0]![0])).toEqual(['p0', 'p64']);
});

it('goes on in a window that nobody sees without a timer, which would wait there', async () => {
  const { loads, client } = await begun(many);
  vi.stubGlobal('document', { hidden: true });
  for (let i = 0; i < 4; i++) {
    loads[i]!.come();
    // No time goes by, only turns.
    for (let turn = 0; turn < 5; turn++) await Promise.resolve();
    answer({ kind: 'taken' });
  }
  expect(put().flat()).toHaveLength(200);
  expect(client.state().reading).toBeNull();
});

it('does not put in what was removed while it was read', async () => {
  const { loads, now } = await begun([stored('a'), stored('b')]);
  now([stored('b')]);
  expect(told.at(-1)).toEqual({ kind: 'drop', ids: 'a' });
  loads[0]!.come();
  await settle();
  expect(put()).toEqual([[['b', '1/1']]]);
});

it('reads again what could not be read, once something is heard of the library', async () => {
  const { loads, now, client } = await begun([stored('a')]);
  loads[0]!.come('fails');
  await settle();
  expect(put()).toEqual([]);
  expect(client.state().reading).not.toBeNull();
  now([stored('a', 2)]);
  await settle();
  loads[1]!.come();
  await settle();
  answer({ kind: 'taken' });
  await settle();
  expect(put()).toEqual([[['a', '2/2']]]);
  expect(client.state().reading).toBeNull();
});

it('deals with a reading that fails before the one ahead of it has come', async () => {
  const { loads } = await begun(many);
  // Vitest fails where a rejection is nobody's.
  loads[1]!.come('fails');
  await settle();
  loads[0]!.come();
  await settle();
  answer({ kind: 'taken' });
  await settle();
  expect(loads.slice(2).flatMap((l) => l.ids)).toEqual(
    [...many.slice(128), ...many.slice(64, 120)].map((p) => p.id),
  );
});
