import { describe, expect, it } from 'vitest';
import { LIBRARY_ORDERS, sortPhrases } from '../../../../src/core/library/sort';
import { answer } from '../../../../src/core/search/catalogue/answer';
import { Catalogue } from '../../../../src/core/search/catalogue/catalogue';
import { sheetOf } from '../../../../src/core/search/catalogue/sheet';
import { Finder } from '../../../../src/core/search/finder';
import { writeQuery } from '../../../../src/core/search/query/write';
import { keepCatalogue, readCatalogue } from '../../../../src/io/search-index/keep';
import { Dice } from '../../../support/generate/dice';
import { randomSearch } from '../../../support/queries';
import { readSamples } from '../../../support/samples';

const phrases = readSamples().map((s) => s.phrase);
const catalogue = new Catalogue();
for (const p of phrases) catalogue.put(sheetOf(p));
catalogue.delete(phrases[4]!.id);
catalogue.put(sheetOf({ ...phrases[5]!, meta: { ...phrases[5]!.meta, title: 'Señor ♭7 𝄫' } }));
const stamps = new Map(phrases.map((p, i) => [p.id, `${i}/${p.meta.modified}`]));
const bytes = keepCatalogue(catalogue, stamps);

describe('an index on the disk', () => {
  it('answers as it did, and goes on taking in and giving up', () => {
    const read = readCatalogue(bytes);
    if (read === null) throw new Error('it is whole');
    expect(read.stamps).toEqual(stamps);
    expect(read.catalogue.size).toBe(catalogue.size);
    const here = new Finder(null, catalogue);
    const there = new Finder(null, read.catalogue);
    const compare = (seed: number) => {
      const d = new Dice(seed, 931);
      const search = randomSearch(d, d.pick(phrases));
      expect(answer(there.catalogue, search), writeQuery(search)).toEqual(
        answer(here.catalogue, search),
      );
    };
    for (let seed = 0; seed < 40; seed++) compare(seed);
    expect(there.like(phrases[0]!.id, 5)).toEqual(here.like(phrases[0]!.id, 5));
    for (const finder of [here, there]) {
      finder.put(sheetOf(phrases[4]!));
      finder.delete(phrases[7]!.id);
    }
    for (let seed = 40; seed < 60; seed++) compare(seed);
  });

  it('of an older program lacks what tells rows with turns, which is read off the notes', () => {
    const whole = new Catalogue();
    for (const p of phrases) whole.put(sheetOf(p));
    const leaps = whole.leaps.column;
    const before = leaps.values.slice(0, leaps.length);
    leaps.length = 0;
    const kept = readCatalogue(keepCatalogue(whole, stamps))!;
    // It is worth being kept anew, and then it is not any more.
    expect(kept.whole).toBe(false);
    const read = kept.catalogue;
    expect(readCatalogue(keepCatalogue(read, stamps))!.whole).toBe(true);
    expect(read.leaps.column.values.subarray(0, read.leaps.column.length)).toEqual(before);
  });

  it('keeps the order by title where it is known, and stays in order', () => {
    const sorted = new Catalogue();
    for (const p of phrases) sorted.put(sheetOf(p));
    sorted.delete(phrases[2]!.id);
    sorted.prepare();
    const read = readCatalogue(keepCatalogue(sorted, stamps))!.catalogue;
    expect(read.titleOrder).toEqual(sorted.titleOrder);
    for (const c of [sorted, read]) {
      c.delete(phrases[9]!.id);
      c.put(sheetOf({ ...phrases[3]!, meta: { ...phrases[3]!.meta, title: 'Middle 10' } }));
    }
    for (const by of LIBRARY_ORDERS) {
      const facts = read.sorted(by).map((n) => read.factsOf(n));
      expect(facts).toEqual(sortPhrases([...facts].reverse(), by));
      expect(read.sorted(by)).toEqual(sorted.sorted(by));
    }
  });

  it('goes on where the order that was kept is another by now', () => {
    const c = new Catalogue();
    for (const p of phrases) c.put(sheetOf(p));
    c.takeTitleOrder([...c.sorted('title')].reverse());
    for (const p of phrases.slice(0, 20)) c.delete(p.id);
    for (const p of phrases.slice(0, 20)) c.put(sheetOf(p));
    const all = c.sorted('title').map((n) => c.factsOf(n).id);
    expect([...all].sort()).toEqual(phrases.map((p) => p.id).sort());
  });

  it('is not taken where it is whole, but of another version', () => {
    const text = Buffer.from(bytes).toString('latin1');
    for (const layout of [1, 9]) {
      const changed = text.replace('"layout":1', `"layout":${layout}`);
      const other = Uint8Array.from(Buffer.from(changed, 'latin1'));
      const numbers = new Uint32Array(other.buffer);
      let h = 0x811c_9dc5;
      for (const n of numbers.subarray(1)) h = Math.imul(h ^ n, 0x0100_0193);
      numbers[0] = h;
      expect(readCatalogue(other) !== null).toBe(layout === 1);
    }
  });

  it('is not taken where a byte is another, missing or more', () => {
    const d = new Dice(1, 932);
    for (let i = 0; i < 60; i++) {
      const damaged = bytes.slice();
      damaged[d.int(0, bytes.length - 1)]! ^= 1 << d.int(0, 7);
      expect(readCatalogue(damaged)).toBeNull();
      expect(readCatalogue(bytes.slice(0, d.int(0, bytes.length - 1)))).toBeNull();
    }
    expect(readCatalogue(new Uint8Array([...bytes, 0, 0, 0, 0]))).toBeNull();
    expect(readCatalogue(new Uint8Array())).toBeNull();
  });
});
