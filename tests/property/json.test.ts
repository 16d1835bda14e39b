import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkPhrase } from '../../src/core/validity/check-phrase';
import { decodePhrase, encodePhrase } from '../../src/io/json';
import { decodeAny } from '../../src/io/library/decode';
import { arbPhrase } from '../support/arbitrary';
import { Dice } from '../support/generate/dice';
import { mutate } from '../support/mutate';

const anyInt = fc.integer({ min: 0, max: 0x7fff_ffff });

describe('the JSON door', () => {
  it('gives back every phrase as it was', () => {
    fc.assert(
      fc.property(arbPhrase(), (p) => {
        const text = encodePhrase(p);
        const read = decodePhrase(text);
        expect(read).toEqual({ ok: true, value: p });
        expect(read.ok && encodePhrase(read.value)).toBe(text);
      }),
      { seed: 21, numRuns: 150 },
    );
  }, 20_000);

  it('never throws on a phrase with something changed, and takes it whole or not at all', () => {
    let accepted = 0;
    fc.assert(
      fc.property(arbPhrase({ maxEvents: 8 }), fc.noBias(anyInt), (p, seed) => {
        const broken = mutate(p, seed);
        const read = decodePhrase(broken);
        if (!read.ok) {
          expect(read.problems.length).toBeGreaterThan(0);
          for (const x of read.problems) expect(x.pointer).toBeDefined();
          return;
        }
        accepted++;
        expect(checkPhrase(read.value)).toEqual([]);
        // Nothing of the document is dropped in silence.
        expect(JSON.parse(encodePhrase(read.value))).toEqual(JSON.parse(JSON.stringify(broken)));
      }),
      { seed: 22, numRuns: 400 },
    );
    expect(accepted).toBeGreaterThan(5);
    expect(accepted).toBeLessThan(200);
  }, 20_000);

  it('never throws on a text with something changed, and reads JSON or nothing', () => {
    fc.assert(
      fc.property(arbPhrase({ maxEvents: 3 }), fc.noBias(anyInt), (p, seed) => {
        const text = encodePhrase(p);
        const d = new Dice(seed, 1);
        const at = d.int(0, text.length - 1);
        const odd = d.pick([
          '',
          '{',
          '}',
          '"',
          ',',
          '\\',
          '0',
          '-',
          'e',
          '\u0000',
          '\ud800',
          '[[',
          ' ',
        ]);
        const changed = text.slice(0, at) + odd + text.slice(at + d.int(0, 2));
        const read = decodeAny(changed);
        if (read.ok) expect(() => JSON.parse(changed)).not.toThrow();
        else expect(read.problems[0]?.message).not.toContain('nothing is wrong');
      }),
      { seed: 23, numRuns: 300 },
    );
  }, 20_000);

  it('never throws on anything at all', () => {
    fc.assert(
      fc.property(
        fc.anything({
          maxDepth: 4,
          withNullPrototype: true,
          withSparseArray: true,
          withBigInt: true,
          withDate: true,
          withMap: true,
        }),
        (x) => {
          expect(decodeAny(x).ok).toBe(false);
        },
      ),
      { seed: 24, numRuns: 500 },
    );
  });
});
