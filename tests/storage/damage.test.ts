import { describe, expect, it, vi } from 'vitest';
import { encodePhrase } from '../../src/io/json';
import { freshBrowser, phraseNamed, rawDatabase, saved, titles } from './support';

const box = freshBrowser();

const VALID = JSON.stringify(phraseNamed('bad', 'Slipway'));

/** Values as a failing disk, another program or a later version may leave them. */
const DAMAGED: readonly (readonly [string, unknown, object])[] = [
  [
    'text cut off',
    { id: 'bad', revision: 9, text: VALID.slice(0, 400) },
    { kind: 'damaged', title: 'Slipway', raw: VALID.slice(0, 400) },
  ],
  [
    'a phrase that breaks its rules',
    { id: 'bad', revision: 9, text: VALID.replace('"length":40320', '"length":-5') },
    { kind: 'damaged', title: 'Slipway' },
  ],
  [
    'another phrase under this id',
    { id: 'bad', revision: 9, text: VALID.replace('"id":"bad"', '"id":"good"') },
    { kind: 'damaged', problems: [{ pointer: '/id' }] },
  ],
  [
    'a later version',
    { id: 'bad', revision: 9, text: VALID.replace('"version":5', '"version":12') },
    { kind: 'too new', title: 'Slipway', problems: [{ pointer: '/version' }] },
  ],
  [
    'a version that is none',
    { id: 'bad', revision: 9, text: VALID.replace('"version":5', '"version":0') },
    { kind: 'damaged' },
  ],
  ['no text', { id: 'bad', revision: 9 }, { kind: 'damaged', raw: '{"id":"bad","revision":9}' }],
  ['no revision', { id: 'bad', text: VALID }, { kind: 'damaged', raw: VALID }],
  ['a revision that is none', { id: 'bad', revision: 'x', text: VALID }, { kind: 'damaged' }],
  ['a revision between two', { id: 'bad', revision: 9.5, text: VALID }, { kind: 'damaged' }],
  [
    'a date that is none',
    { id: 'bad', revision: 9, text: VALID, removed: 'x' },
    { kind: 'damaged' },
  ],
  ['bytes', { id: 'bad', revision: 9, text: new Uint8Array([1, 2]) }, { kind: 'damaged' }],
  ['the text null', { id: 'bad', revision: 9, text: 'null' }, { kind: 'damaged', raw: 'null' }],
  ['what JSON cannot say', { id: 'bad', big: 5n }, { kind: 'damaged', raw: null }],
];

describe('a damaged record', () => {
  it.each(DAMAGED)('(%s) is kept aside untouched and listed', async (_, value, expected) => {
    const first = await box.browser.ready();
    await saved(first, phraseNamed('a', 'Quay'), null);
    await first.close();
    await rawDatabase('readwrite', (p) => p.put(value));
    const store = await box.browser.ready();
    expect(titles(store)).toEqual({ a: 'Quay' });
    expect(store.snapshot().problems).toMatchObject([{ key: 'bad', ...expected }]);
    expect(store.snapshot().problems[0]?.problems.length).toBeGreaterThan(0);
    const before = store.snapshot();
    await store.refresh();
    expect(store.snapshot()).toBe(before);
    // Whatever else is done, it lies there as it was.
    await saved(store, phraseNamed('b', 'Jetty'), null);
    await store.remove(['a']);
    await store.removeSamples();
    await store.close();
    expect(await rawDatabase('readonly', (p) => p.get('bad'))).toEqual(value);
  });

  it.each(DAMAGED)('(%s) is not written over, by a save nor from a file', async (_, value) => {
    await (await box.browser.ready()).close();
    await rawDatabase('readwrite', (p) => p.put(value));
    const store = await box.browser.ready();
    for (const base of [null, 9]) {
      expect(await store.save(phraseNamed('bad', 'Slipway'), base)).toMatchObject({
        kind: 'conflict',
        conflict: { kind: 'damaged', id: 'bad', problem: { key: 'bad' } },
      });
    }
    expect(await store.add([phraseNamed('bad', 'Slipway')])).toMatchObject({
      kind: 'saved',
      added: [{ kind: 'copied', from: 'bad', stored: { phrase: { id: 'new-1' } } }],
    });
    expect(await rawDatabase('readonly', (p) => p.get('bad'))).toEqual(value);
  });

  it.each(DAMAGED)('(%s) can be discarded, and then its id is free', async (_, value) => {
    await (await box.browser.ready()).close();
    await rawDatabase('readwrite', (p) => p.put(value));
    const store = await box.browser.ready();
    const other = await box.browser.ready();
    expect(await store.discard(['bad'])).toEqual({ kind: 'done', ids: ['bad'] });
    expect(store.snapshot().problems).toEqual([]);
    await other.refresh();
    expect(other.snapshot().problems).toEqual([]);
    await saved(store, phraseNamed('bad', 'Slipway'), null);
    expect(titles(store)).toEqual({ bad: 'Slipway' });
  });

  it('gives its text back in full', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('bad', 'Slipway'), null);
    const whole = encodePhrase(phraseNamed('bad', 'Slipway'));
    await store.close();
    await rawDatabase('readwrite', (p) => p.put({ id: 'bad', revision: 2, text: `${whole}!` }));
    const later = await box.browser.ready();
    expect(later.snapshot().problems[0]?.raw).toBe(`${whole}!`);
  });
});

describe('discarding', () => {
  it('deletes nothing that is a phrase, removed or not', async () => {
    const store = await box.browser.ready();
    await saved(store, phraseNamed('a', 'Quay'), null);
    await saved(store, phraseNamed('b', 'Jetty'), null);
    await store.remove(['b']);
    expect(await store.discard(['a', 'b', 'nobody'])).toEqual({ kind: 'done', ids: [] });
    await store.restore(['b']);
    expect(titles(store)).toEqual({ a: 'Quay', b: 'Jetty' });
  });
});

describe('a record that the browser cannot read', () => {
  /** As where the file behind a value is gone: the request fails, and its transaction with it. */
  function unreadable(key: string) {
    const original = IDBObjectStore.prototype.get;
    return vi.spyOn(IDBObjectStore.prototype, 'get').mockImplementation(function (
      this: IDBObjectStore,
      query,
    ) {
      const request = original.call(this, query);
      if (query === key) this.transaction.abort();
      return request;
    });
  }

  it('does not keep the others from opening, and is listed', async () => {
    const first = await box.browser.ready();
    for (const id of ['a', 'bad', 'c']) await saved(first, phraseNamed(id, `Title ${id}`), null);
    const get = unreadable('bad');
    const store = await box.browser.ready();
    expect(titles(store)).toEqual({ a: 'Title a', c: 'Title c' });
    expect(store.snapshot().problems).toMatchObject([
      { kind: 'unreadable', key: 'bad', raw: null, title: null },
    ]);
    // A window that has it in memory goes on showing it.
    expect(titles(first)).toMatchObject({ bad: 'Title bad' });
    for (const base of [null, 2]) {
      const result = await store.save(phraseNamed('bad', 'Over it'), base);
      expect(result).toMatchObject({ kind: 'failed' });
    }
    expect(await rawDatabase('readonly', (p) => p.getAllKeys())).toEqual(['a', 'bad', 'c']);
    expect(await store.discard(['bad'])).toEqual({ kind: 'done', ids: ['bad'] });
    get.mockRestore();
    expect(await rawDatabase('readonly', (p) => p.getAllKeys())).toEqual(['a', 'c']);
  });

  it('is a phrase again once the browser can read it', async () => {
    const first = await box.browser.ready();
    await saved(first, phraseNamed('bad', 'Slipway'), null);
    const get = unreadable('bad');
    const store = await box.browser.ready();
    expect(titles(store)).toEqual({});
    get.mockRestore();
    await store.refresh();
    expect(titles(store)).toEqual({ bad: 'Slipway' });
    expect(store.snapshot().problems).toEqual([]);
  });
});
