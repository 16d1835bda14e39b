import { describe, expect, it } from 'vitest';
import type { Kind } from '../../src/io/kinds/kind';
import { KINDS, PHRASES } from '../../src/io/kinds/kinds';
import { readRecord } from '../../src/storage/record';
import { sealOf } from '../../src/storage/seal';
import { seededPhrase } from '../support/arbitrary';
import { ORDERS, order } from '../support/orders';
import { freshBrowser, phraseNamed, rawDatabase, saved, titles } from './support';
import '../../src/io/kinds/checks-at-hand';

/* What this program has checked and written is not checked again; what anything else has touched is. */

const box = freshBrowser();

/** Counts how often something is checked. */
function counting() {
  let checked = 0;
  const phrases: Kind<unknown> = {
    ...PHRASES,
    decode: (input) => {
      checked += 1;
      return PHRASES.decode(input);
    },
  } as Kind<unknown>;
  return { kinds: [phrases, ...KINDS.slice(1)], checked: () => checked };
}

describe('a record that was checked when it was written', () => {
  it('is read as it would be if it were checked', () => {
    for (let i = 0; i < 40; i++) {
      const phrase = seededPhrase(i * 17 + 3, { maxEvents: 8 });
      const text = JSON.stringify(phrase);
      const { id } = phrase;
      const record = { id, revision: 1, text };
      const plain = readRecord({ key: id, value: record }, KINDS);
      const sum = sealOf(PHRASES, id, text);
      const { kinds, checked } = counting();
      const sealed = readRecord({ key: id, value: { ...record, sum } }, kinds);
      if (plain.kind !== 'item' || sealed.kind !== 'item') throw new Error('they are valid');
      expect(checked()).toBe(0);
      expect(sealed.item.stored.value).toEqual(plain.item.stored.value);
      expect([plain.item.sealed, sealed.item.sealed]).toEqual([false, true]);
    }
  });

  it('is checked where a character of it, its key or its version is another', () => {
    const text = JSON.stringify(phraseNamed('a', 'Slipway'));
    const sum = sealOf(PHRASES, 'a', text);
    const read = (value: object, key = 'a') => {
      const { kinds, checked } = counting();
      const kind = readRecord({ key, value: { id: key, revision: 1, text, sum, ...value } }, kinds);
      return [kind.kind, checked()];
    };
    expect(read({})).toEqual(['item', 0]);
    expect(read({ text: text.slice(0, -1) })).toEqual(['problem', 1]);
    expect(read({ text: text.replace('"length":40320', '"length":40321') })).toEqual([
      'problem',
      1,
    ]);
    expect(read({ sum: sum + 1 })).toEqual(['item', 1]);
    expect(read({}, 'b')).toEqual(['problem', 1]);
    const later = {
      ...PHRASES,
      versions: { ...PHRASES.versions, newest: PHRASES.versions.newest + 1 },
    };
    expect(sealOf(later, 'a', text)).not.toBe(sum);
  });

  it('that came from an older version is migrated as ever', () => {
    const { sets: _, ...old } = { ...order('o', 'Strings'), version: 1 };
    const text = JSON.stringify(old);
    const value = { id: 'order o', revision: 1, text, sum: sealOf(ORDERS, 'order o', text) };
    const read = readRecord({ key: 'order o', value }, [...KINDS, ORDERS]);
    expect(read.kind === 'item' && read.item.stored.value).toMatchObject({ version: 2, sets: 1 });
  });

  it('is what every write leaves, and what the background makes of older ones', async () => {
    const first = await box.browser.ready();
    await saved(first, phraseNamed('a', 'Quay'), null);
    await first.close();
    const record = async (id: string) =>
      Object(await rawDatabase('readonly', (p) => p.get(id))) as Record<string, unknown>;
    const sums = async () => {
      const [a, kept] = [await record('a'), await record('old')];
      return [typeof a.sum, typeof kept.sum, kept.revision];
    };
    const old = { id: 'old', revision: 7, text: JSON.stringify(phraseNamed('old', 'Jetty')) };
    await rawDatabase('readwrite', (p) => p.put(old));
    expect(await sums()).toEqual(['number', 'undefined', 7]);
    const store = await box.browser.ready();
    await expect.poll(sums, { timeout: 9_000 }).toEqual(['number', 'number', 7]);
    expect(titles(store)).toEqual({ a: 'Quay', old: 'Jetty' });
    expect((await store.save(phraseNamed('old', 'Mole'), 7)).kind).toBe('saved');
  }, 12_000);
});
