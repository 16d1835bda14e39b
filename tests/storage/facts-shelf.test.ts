import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { IDBFactory } from 'fake-indexeddb';
import { beforeEach, describe, expect, it } from 'vitest';
import { FACTS_VERSION, factsOf } from '../../src/core/library/facts';
import { decodePhrase } from '../../src/io/json';
import { FactsShelf } from '../../src/storage/facts-shelf';
import { phraseNamed } from './support';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

const FACTS = factsOf(phraseNamed('p', 'Quay'));
const known = (i: number) => {
  return { id: `p${i}`, sum: i, facts: { ...FACTS, id: `p${i}`, title: `Number ${i}` } };
};
const list = (from: number, to: number) =>
  Array.from({ length: to - from }, (_, i) => known(from + i));

describe('what was read at an earlier opening', () => {
  it('is there again for the same content, and for no other', async () => {
    const first = new FactsShelf();
    await first.load();
    const some = list(0, 900);
    await first.keep(some, some);
    first.close();
    const second = new FactsShelf();
    expect(second.ready).toBe(false);
    await second.load();
    for (const { id, sum, facts } of some) expect(second.get(id, sum)).toEqual(facts);
    expect(second.get('p3', 4)).toBeNull();
    expect(second.get('q', 3)).toBeNull();
    second.close();
  });

  it('stays small, whatever was changed and removed', async () => {
    const shelf = new FactsShelf();
    await shelf.load();
    await shelf.keep(list(0, 500), list(0, 500));
    for (let round = 0; round < 20; round++) {
      const some = list(0, 100).map((k) => ({ ...k, sum: 1_000 + round }));
      await shelf.keep(some, list(0, 100));
    }
    shelf.close();
    const again = new FactsShelf();
    await again.load();
    expect(again.get('p5', 1_019)).not.toBeNull();
    expect(again.get('p300', 300)).toBeNull();
    again.close();
  });

  it('is done without where the browser keeps nothing', async () => {
    Reflect.deleteProperty(globalThis, 'indexedDB');
    const shelf = new FactsShelf();
    await shelf.load();
    await shelf.keep(list(0, 2), []);
    expect(shelf.get('p1', 1)?.title).toBe('Number 1');
  });

  it('has another version where facts are read otherwise', () => {
    const file = path.resolve(import.meta.dirname, '../migrations/phrase-v3.json');
    const phrase = decodePhrase(readFileSync(file, 'utf8'));
    if (!phrase.ok) throw new Error('the frozen phrase must open');
    const hash = createHash('sha256')
      .update(JSON.stringify(factsOf(phrase.value)))
      .digest('hex');
    // Where this fails, facts say something else than before: raise FACTS_VERSION.
    expect([FACTS_VERSION, hash.slice(0, 12)]).toEqual([1, '165e4b6bde0c']);
  });
});
