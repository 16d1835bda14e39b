import { describe, expect, it } from 'vitest';
import { factsOf } from '../../../../src/core/library/facts';
import type { Phrase } from '../../../../src/core/phrase/types';
import { FactsReader } from '../../../../src/ui/library/facts-reader';
import { phraseNamed } from '../../../support/phrase-named';

describe('facts read in slices', () => {
  it('look at each phrase once or twice, however many slices there are', () => {
    const SIZE = 2_000;
    let looked = 0;
    const stored = Array.from({ length: SIZE }, (_, i) => {
      const phrase = phraseNamed(`p${i}`, 'Quay');
      return {
        id: `p${i}`,
        sum: i,
        peek() {
          looked += 1;
          return phrase;
        },
      };
    });
    // Every look at the clock is a millisecond: a slice is some ten phrases.
    let now = 0;
    const reader = new FactsReader(stored, null, () => now++);
    let slices = 1;
    while (!reader.readFor(10)) slices += 1;
    expect(slices).toBeGreaterThan(100);
    expect(reader.done).toBe(SIZE);
    // Each slice looks again at the one that it ends before; from the first on it would be 200,000.
    expect(looked).toBeLessThanOrEqual(SIZE + slices);
  });

  it('are taken from what was read before, without looking at the phrase', () => {
    const facts = factsOf(phraseNamed('a', 'Quay'));
    const shelf = { get: (id: string, sum: number) => (id === 'a' && sum === 5 ? facts : null) };
    const unseen = {
      id: 'a',
      sum: 5,
      peek(): Phrase {
        throw new Error('nobody needs to look at it');
      },
    };
    const reader = new FactsReader([unseen], shelf);
    expect(reader.readFor(1)).toBe(true);
    expect([reader.facts, reader.takeFresh()]).toEqual([[facts], []]);
    const changed = new FactsReader(
      [{ id: 'a', sum: 6, peek: () => phraseNamed('a', 'Jetty') }],
      shelf,
    );
    changed.readFor(1_000);
    expect(changed.facts[0]?.title).toBe('Jetty');
    expect(changed.takeFresh()).toMatchObject([{ id: 'a', sum: 6, facts: { title: 'Jetty' } }]);
    expect(changed.takeFresh()).toEqual([]);
  });
});
