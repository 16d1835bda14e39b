import { describe, expect, it } from 'vitest';
import { fingerprintOf, fingerprintOfData } from '../../../../src/core/phrase/fingerprint';
import type { Phrase } from '../../../../src/core/phrase/types';
import { build } from '../../../support/build';

const PHRASE = build('e 3/5 3/7(h) q 2/5 2/8(vib) -', { id: 'print', title: 'Gates', key: 'G' });

/** The same data with the keys of every object the other way round. */
function turned(data: unknown): unknown {
  if (Array.isArray(data)) return data.map(turned);
  if (typeof data !== 'object' || data === null) return data;
  return Object.fromEntries(
    Object.entries(data)
      .map(([k, v]) => [k, turned(v)] as const)
      .reverse(),
  );
}

const titled = (title: string): Phrase => ({ ...PHRASE, meta: { ...PHRASE.meta, title } });

describe('the fingerprint of a phrase', () => {
  it('stays over JSON, another order of keys and another time of change', () => {
    const print = fingerprintOf(PHRASE);
    expect(fingerprintOf(JSON.parse(JSON.stringify(PHRASE)))).toBe(print);
    expect(JSON.stringify(turned(PHRASE))).not.toBe(JSON.stringify(PHRASE));
    expect(fingerprintOf(turned(PHRASE) as Phrase)).toBe(print);
    const later = { ...PHRASE.meta, modified: '2031-05-06T07:08:09.000Z' };
    expect(fingerprintOf({ ...PHRASE, meta: later })).toBe(print);
  });

  it('differs with the title, a fret, a technique, and the order of notes', () => {
    const all = [
      PHRASE,
      titled('Gate'),
      titled('gates'),
      ...['e 3/5 3/7 q 2/5 2/8(vib) -', 'e 3/5 3/7(h) q 2/6 2/8(vib) -'].map((line) =>
        build(line, { id: 'print', title: 'Gates', key: 'G' }),
      ),
      build('e 3/7 3/5(p) q 2/5 2/8(vib) -', { id: 'print', title: 'Gates', key: 'G' }),
    ];
    expect(new Set(all.map(fingerprintOf)).size).toBe(all.length);
  });

  it('is a whole number of up to 53 bits, in which each bit is set about every other time', () => {
    const prints = Array.from({ length: 2_000 }, (_, i) => fingerprintOf(titled(`${i}`)));
    expect(new Set(prints).size).toBe(2_000);
    expect(prints.every((p) => Number.isSafeInteger(p) && p >= 0)).toBe(true);
    for (let bit = 0; bit < 53; bit++) {
      const set = prints.filter((p) => Math.floor(p / 2 ** bit) % 2 === 1).length;
      // Six standard deviations of 2 000 throws of a coin.
      expect(Math.abs(set - 1_000), `bit ${bit}`).toBeLessThan(135);
    }
  });

  it('takes what is undefined for missing, and null for itself', () => {
    expect(fingerprintOfData({ a: 1, b: undefined })).toBe(fingerprintOfData({ a: 1 }));
    expect(fingerprintOfData({ a: 1, b: null })).not.toBe(fingerprintOfData({ a: 1 }));
    expect(fingerprintOfData(['1'])).not.toBe(fingerprintOfData([1]));
    expect(fingerprintOfData(['a', 'b'])).not.toBe(fingerprintOfData(['b', 'a']));
  });
});
