import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { HeardNote } from '../../../../src/core/heard/types';
import { DEFAULT_LIMITS } from '../../../../src/core/neck/limits';
import type { FingeringProblem } from '../../../../src/core/neck/problem';
import { findFingerings } from '../../../../src/core/neck/solve';
import { STANDARD_GUITAR } from '../../../../src/core/phrase/instrument';
import { stringCosts } from '../../../../src/io/heard/strings';
import { LOWEST, PITCHES } from '../../../../src/sound/capture/network-shape';
import { stringShares } from '../../../../src/sound/capture/string-shares';

function heard(strings: readonly number[]): HeardNote {
  const plain = { onset: 0, end: 1, pitch: 64, start: 64, curve: [], attack: 'pluck' } as const;
  return { ...plain, muted: false, confidence: 1, strings };
}

const shares = fc
  .array(fc.integer({ min: 1, max: 1000 }), { minLength: 6, maxLength: 6 })
  .map((list) => list.map((v) => v / list.reduce((a, b) => a + b, 0)));

describe('strings that were heard', () => {
  it('cost nothing where likeliest, more the less likely, and nothing off a guitar of six strings', () => {
    fc.assert(
      fc.property(shares, (strings) => {
        const costs = stringCosts(heard(strings), STANDARD_GUITAR)!;
        expect(costs[strings.indexOf(Math.max(...strings))]).toBe(0);
        for (const [i, a] of strings.entries())
          for (const [k, b] of strings.entries())
            if (a > b) expect(costs[i]!).toBeLessThanOrEqual(costs[k]!);
        const tuning = STANDARD_GUITAR.tuning;
        const bass = { ...STANDARD_GUITAR, tuning: tuning.slice(2) };
        expect(stringCosts(heard(strings), bass)).toBeUndefined();
        const low = { ...STANDARD_GUITAR, tuning: tuning.map(() => tuning[5]!) };
        expect(stringCosts(heard(strings), low)).toBeUndefined();
      }),
    );
  });

  it('decide between places of one pitch', () => {
    // E4: first string open, second at the fifth fret, third at the ninth.
    for (const string of [1, 2, 3]) {
      const stringCosts = Array.from({ length: 6 }, (_, i) => (i + 1 === string ? 0 : 9));
      const problem: FingeringProblem = {
        instrument: STANDARD_GUITAR,
        limits: DEFAULT_LIMITS,
        style: 'lead',
        notes: [{ id: 'a', kind: 'stopped', midi: 64, stringCosts }],
        moments: [{ onset: 0, seconds: 0, struck: [0], held: [], ringing: [] }],
      };
      expect(findFingerings(problem)[0]!.places.get('a')!.string).toBe(string);
    }
  });

  it('are shares of what the model says, the sixth string beside the five', () => {
    const values = new Float32Array(4 * PITCHES * 16);
    const put = (t: number, logits: readonly number[]) =>
      values.set(logits, (t * PITCHES + 20) * 16 + 11);
    const p = { frames: 4, lowest: LOWEST, values, dead: new Float32Array(4) };
    expect(stringShares(p, [0, 1], [20, 20])).toEqual(new Array(6).fill(expect.closeTo(1 / 6, 6)));
    // Odds of the second string to the sixth are e² in every frame, and those of the others e to the sixth.
    for (const t of [0, 1, 2]) put(t, [1, 2, 1, 1, 1]);
    const all = 4 * Math.E + Math.E ** 2 + 1;
    const told = stringShares(p, [0, 1, 2], [20, 20, 20]);
    expect(told[1]).toBeCloseTo(Math.E ** 2 / all, 5);
    expect(told[5]).toBeCloseTo(1 / all, 5);
    expect(told.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
  });
});
