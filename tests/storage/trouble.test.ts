import { describe, expect, it, vi } from 'vitest';
import { freshBrowser, phraseNamed, rawDatabase, saved, titles } from './support';

const box = freshBrowser();

/** The next `put` of a phrase throws this. */
function failPut(error: DOMException) {
  const original = IDBObjectStore.prototype.put;
  return vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (
    this: IDBObjectStore,
    ...args
  ) {
    if (this.name === 'records') throw error;
    return original.apply(this, args);
  });
}

/** Every writing transaction is ended by the browser at its commit, for this reason. */
function failCommit(error: DOMException) {
  const original = IDBObjectStore.prototype.put;
  return vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (
    this: IDBObjectStore,
    ...args
  ) {
    const tx = this.transaction;
    const request = original.apply(this, args);
    request.addEventListener('success', () => {
      Object.defineProperty(tx, 'error', { get: () => error });
      queueMicrotask(() => {
        try {
          tx.abort();
        } catch {
          // Ended by the request before.
        }
      });
    });
    return request;
  });
}

const FULL = () => new DOMException('full', 'QuotaExceededError');

describe('a full disk', () => {
  it.each([
    ['at the write', failPut],
    ['at the commit', failCommit],
  ])(
    '(%s) is told, with numbers; nothing is half written, and later it works again',
    async (_, break_) => {
      box.browser.estimate = async () => ({ usage: 990, quota: 1000 });
      const store = await box.browser.ready();
      const a = await saved(store, phraseNamed('a', 'Quay'), null);
      const shown = store.snapshot();
      const spy = break_(FULL());
      const full = { kind: 'quota', usage: 990, quota: 1000 };
      expect(await store.save(phraseNamed('a', 'Quay wall'), a.revision)).toEqual(full);
      expect(
        await store.saveAll([
          { phrase: phraseNamed('b', 'Jetty'), base: null },
          { phrase: phraseNamed('c', 'Pier'), base: null },
        ]),
      ).toEqual(full);
      expect(await store.add([phraseNamed('d', 'Mole')])).toEqual(full);
      expect(await store.remove(['a'])).toEqual(full);
      expect(await store.seedSamples([phraseNamed('s', 'First light')])).toEqual(full);
      expect(store.snapshot()).toBe(shown);
      spy.mockRestore();
      expect(await rawDatabase('readonly', (_p, meta) => meta.get('sequence'))).toBe(1);
      expect(await rawDatabase('readonly', (p) => p.getAllKeys())).toEqual(['a']);
      await saved(store, phraseNamed('a', 'Quay wall'), a.revision);
      expect(titles(await box.browser.ready())).toEqual({ a: 'Quay wall' });
      expect(await store.seedSamples([phraseNamed('s', 'First light')])).toMatchObject({
        kind: 'seeded',
      });
    },
  );
});

describe('a disk that is full of what can be made anew', () => {
  it('has that thrown away, and what was refused is written; once for each refusal', async () => {
    const store = await box.browser.ready();
    let spy = failPut(FULL());
    let asked = 0;
    box.browser.makeRoom = async () => {
      asked++;
      spy.mockRestore();
      return true;
    };
    expect(await store.save(phraseNamed('a', 'Quay'), null)).toMatchObject({ kind: 'saved' });
    expect(asked).toBe(1);
    spy = failPut(FULL());
    box.browser.makeRoom = async () => {
      asked++;
      return true;
    };
    // There was something, and it was not enough.
    expect(await store.save(phraseNamed('b', 'Jetty'), null)).toMatchObject({ kind: 'quota' });
    expect(asked).toBe(2);
    spy.mockRestore();
    expect(titles(await box.browser.ready())).toEqual({ a: 'Quay' });
  });
});

describe('a write that fails otherwise', () => {
  it.each([
    ['at the write', failPut],
    ['at the commit', failCommit],
  ])('(%s) says so with the reason', async (_, break_) => {
    const store = await box.browser.ready();
    const spy = break_(new DOMException('bad sector', 'UnknownError'));
    const result = await store.save(phraseNamed('a', 'Quay'), null);
    spy.mockRestore();
    expect(result).toMatchObject({ kind: 'failed' });
    expect(result.kind === 'failed' && result.problem.message).toContain('bad sector');
    expect(result.kind === 'failed' && result.problem.fix).toBeDefined();
    expect(await rawDatabase('readonly', (p) => p.getAllKeys())).toEqual([]);
    expect(titles(store)).toEqual({});
  });
});
