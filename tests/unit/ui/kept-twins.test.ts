import { afterEach, describe, expect, it, vi } from 'vitest';
import { newPair, pairName } from '../../../src/core/library/pair';
import type { AnyKind } from '../../../src/io/kinds/kind';
import { PAIRS } from '../../../src/io/kinds/kinds';
import { createMemoryStore } from '../../../src/storage';
import type { App } from '../../../src/ui/frame/app-context';
import { joinAll } from '../../../src/ui/frame/join-things';
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

  it('are kept also where another pair has their id, as one does of which a phrase came in as a copy', async () => {
    const { app, store, kept } = await bench();
    const now = app.now();
    const { id } = newPair(['a', 'b'], { now, title: '' });
    await store.of(PAIRS).save({ ...newPair(['b', 'c'], { now, title: '' }), id }, null);
    for (let i = 0; i < 2; i++) expect(await keepTwins(app, ['a', 'b'])).toBe(true);
    expect(kept().sort()).toEqual(['a b', 'b c']);
  });

  it('are kept where what has their id cannot be read, and refused where nothing can be saved', async () => {
    const { app, store } = await bench();
    const tried: string[] = [];
    const damaged = (from: number) => ({
      all: () => [],
      save: async ({ id }: { readonly id: string }) => {
        if (tried.length > 9) throw new Error('it is tried for ever');
        tried.push(id);
        if (tried.length > from) return { kind: 'saved' };
        return { kind: 'conflict', conflict: { kind: 'damaged', id } };
      },
    });
    const over = (from: number) => {
      tried.length = 0;
      const of = { of: () => damaged(from) };
      return { ...app, store: Object.assign(Object.create(store), of) } as App;
    };
    expect(await keepTwins(over(1), ['a', 'b'])).toBe(true);
    expect(new Set(tried).size).toBe(2);
    expect(await keepTwins(over(9), ['a', 'b'])).toBe(false);
  });

  it('come in beside the pair that is here where one of them comes in as a copy', async () => {
    const { app, store, kept } = await bench();
    await keepTwins(app, ['a', 'b']);
    const later = newPair(['a', 'b'], { now: '2026-11-29T12:00:00.000Z', title: '“a” and “b”' });
    const renamed = new Map([['phrase a', 'c']]);
    const bring = () =>
      joinAll(store, [{ kind: PAIRS as unknown as AnyKind, value: later }], renamed);
    expect(await bring()).toMatchObject({ came: [{ how: 'copied', from: later.id }] });
    expect(await bring()).toMatchObject({ came: [{ how: 'same' }] });
    expect(kept().sort()).toEqual(['a b', 'b c']);
  });
});
