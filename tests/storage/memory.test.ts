import { describe, expect, it } from 'vitest';
import { createMemoryStore } from '../../src/storage';
import { phraseNamed } from './support';

describe('a library in memory', () => {
  it('opens with the phrases given and takes a save', async () => {
    const first = phraseNamed('a', 'Quay');
    const store = createMemoryStore({ phrases: [first] });
    expect(store.snapshot().state).toBe('opening');
    expect(await store.opened()).toBe('ready');
    expect(store.snapshot()).toMatchObject({ lasting: false, problems: [] });
    const [stored] = store.snapshot().phrases;
    expect(stored?.peek()?.meta.title).toBe('Quay');
    const next = phraseNamed('a', 'Jetty');
    const saved = await store.save(next, stored!.revision);
    expect(saved).toMatchObject({
      kind: 'saved',
      stored: {
        id: 'a',
        sum: expect.any(Number),
        phrase: next,
        revision: stored!.revision + 1,
        sample: false,
      },
    });
    expect(store.snapshot().phrases.map((s) => s.peek())).toEqual([next]);
    expect(store.snapshot().phrases[0]?.peek()).toBe(next);
  });

  it.each(['outdated', 'unavailable', 'failed'] as const)('can end as %s', async (state) => {
    const store = createMemoryStore({ state });
    expect(await store.opened()).toBe(state);
    expect(store.snapshot().reason?.message).toContain(state);
    expect(await store.save(phraseNamed('a', 'Quay'), null)).toEqual({ kind: 'not ready', state });
  });

  it('waits where it is blocked, and can be closed there', async () => {
    const store = createMemoryStore({ state: 'blocked' });
    expect(store.snapshot().state).toBe('blocked');
    expect(await store.save(phraseNamed('a', 'Quay'), null)).toMatchObject({ kind: 'not ready' });
    await store.close();
    expect(store.snapshot().state).toBe('closed');
  });

  it('refuses what it is told to refuse, and nothing changes', async () => {
    let full = true;
    const refusal = { kind: 'quota', usage: 70, quota: 80 } as const;
    const store = createMemoryStore({ refuse: () => (full ? refusal : null) });
    await store.opened();
    const before = store.snapshot();
    expect(await store.save(phraseNamed('a', 'Quay'), null)).toEqual(refusal);
    expect(store.snapshot()).toBe(before);
    full = false;
    expect(await store.save(phraseNamed('a', 'Quay'), null)).toMatchObject({ kind: 'saved' });
  });

  it('lists damaged records', async () => {
    const store = createMemoryStore({ damaged: { x: '{"meta":{"title":"Slipway"' } });
    await store.opened();
    expect(store.snapshot().phrases).toEqual([]);
    expect(store.snapshot().problems).toMatchObject([
      { kind: 'damaged', key: 'x', title: 'Slipway', raw: '{"meta":{"title":"Slipway"' },
    ]);
  });
});
