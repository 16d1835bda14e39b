import { describe, expect, it } from 'vitest';
import { FactsReader } from '../../../../src/ui/library/facts-reader';
import { phraseNamed } from '../../../support/phrase-named';

describe('facts read in slices', () => {
  it('look at each phrase once or twice, however many slices there are', () => {
    const SIZE = 2_000;
    let looked = 0;
    const stored = Array.from({ length: SIZE }, (_, i) => {
      const phrase = phraseNamed(`p${i}`, 'Quay');
      return {
        get phrase() {
          looked += 1;
          return phrase;
        },
      };
    });
    // Every look at the clock is a millisecond: a slice is some ten phrases.
    let now = 0;
    const reader = new FactsReader(stored, () => now++);
    let slices = 1;
    while (!reader.readFor(10)) slices += 1;
    expect(slices).toBeGreaterThan(100);
    expect(reader.done).toBe(SIZE);
    // Each slice looks again at the one that it ends before; from the first on it would be 200,000.
    expect(looked).toBeLessThanOrEqual(SIZE + slices);
  });
});
