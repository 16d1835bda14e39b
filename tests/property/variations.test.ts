import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { VARIATION_IDS } from '../../src/core/vary/table';
import { varyPhrase } from '../../src/core/vary/vary';
import { arbPhrase } from '../support/arbitrary';
import { readSamples } from '../support/samples';
import { faultOf } from '../support/vary-sweep';

/** The large numbers: `npx tsx tests/scripts/vary.ts 2000`. */
describe('variations', () => {
  it('are valid, playable, in their frame and as promised, of any phrase', () => {
    fc.assert(
      fc.property(
        arbPhrase(),
        fc.constantFrom(...VARIATION_IDS),
        fc.integer({ min: 0, max: 3 }),
        (p, id, seed) => {
          const made = varyPhrase(p, [id], { seed });
          if (made.ok) for (const v of made.value) expect(faultOf(p, id, v)).toBeNull();
        },
      ),
      { numRuns: 30, seed: 12 },
    );
  });

  it('each has something to say of a sample', () => {
    const samples = readSamples().map((s) => s.phrase);
    const silent = VARIATION_IDS.filter(
      (id) => !samples.some((p) => varyPhrase(p, [id], { count: 1 }).ok),
    );
    expect(silent).toEqual([]);
  });
});
