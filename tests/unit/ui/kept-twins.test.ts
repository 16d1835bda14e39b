import { afterEach, describe, expect, it, vi } from 'vitest';
import { pairName } from '../../../src/core/library/pair';
import { PAIRS } from '../../../src/io/kinds/kinds';
import { createMemoryStore } from '../../../src/storage';
import type { App } from '../../../src/ui/frame/app-context';
import { keepTwins, takeUpOlderPairs } from '../../../src/ui/frame/kept-twins';
import { createNotices } from '../../../src/ui/frame/notices';
import { phraseNamed } from '../../support/phrase-named';

async function bench() {
  const store = createMemoryStore({ phrases: ['a', 'b', 'c'].map((id) => phraseNamed(id, id)) });
  await store.opened();
  const notices = createNotices();
  const app = { store, notices, now: () => '2026-11-28T12:00:00.000Z' } as unknown as App;
  const kept = () =>
    store
      .of(PAIRS)
      .all()
      .map(({ value }) => pairName(value.phrases));
  const undo = () => notices.list().at(-1)!.actions[0]!.run();
  return { app, store, kept, undo };
}

/** What an older program left on this device. */
function older(text: string | null) {
  let there = text;
  vi.stubGlobal('localStorage', {
    getItem: () => there,
    setItem: (_: string, value: string) => {
      there = value;
    },
    removeItem: () => {
      there = null;
    },
  });
  return () => there;
}

afterEach(() => {
  vi.unstubAllGlobals();
});

describe('two that are nearly the same and both wanted', () => {
  it('are kept in the library, until that is undone, and again after that', async () => {
    const { app, store, kept, undo } = await bench();
    expect(await keepTwins(app, ['b', 'a'])).toBe(true);
    expect(await keepTwins(app, ['a', 'b'])).toBe(true);
    expect(kept()).toEqual(['a b']);
    expect(store.of(PAIRS).all()[0]!.value.meta.title).toBe('“b” and “a”');
    undo();
    await vi.waitFor(() => expect(kept()).toEqual([]));
    await keepTwins(app, ['a', 'b']);
    expect(kept()).toEqual(['a b']);
  });

  it('are taken over from what an older program knew of them, once', async () => {
    const { app, kept } = await bench();
    const left = older('a b\nb a\nc gone\nnonsense\na a\n');
    await takeUpOlderPairs(app);
    expect(kept().sort()).toEqual(['a b', 'c gone']);
    expect(left()).toBeNull();
  });

  it('stay where they were while the library refuses them', async () => {
    const { app, store, kept } = await bench();
    const left = older('a b\na c');
    const full = { kind: 'quota', usage: null, quota: null } as const;
    const refusing = { ...store, of: () => ({ save: async () => full }) } as never;
    await takeUpOlderPairs({ ...app, store: Object.assign(Object.create(store), refusing) });
    expect([kept(), left()]).toEqual([[], 'a b\na c']);
  });
});
