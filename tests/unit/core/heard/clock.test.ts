import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type PlayedTo, startOfRound } from '../../../../src/core/heard/clock';

/** Beats and halves of beats from a place on, a little loose. */
const played = (from: number, beat: number) =>
  [0, 1, 1.5, 2, 3, 3.5, 4, 5, 6, 6.5, 7].map((b, i) => from + b * beat + 0.004 * ((i % 3) - 1));

describe('where a recording that was played to a clock begins', () => {
  it('is the beginning of a round, no later than the first note and no earlier than a round', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 40, max: 240, noNaN: true }),
        fc.integer({ min: 1, max: 24 }),
        fc.double({ min: -300, max: 300, noNaN: true }),
        fc.double({ min: 0, max: 300, noNaN: true }),
        (bpm, bars, begin, first) => {
          const round = (bars * 4 * 60) / bpm;
          const to: PlayedTo = { bpm, round, begin, measured: true };
          const start = startOfRound([first], to);
          expect(start).toBeLessThanOrEqual(first + 0.1 + 1e-9);
          expect(start + round).toBeGreaterThan(first + 0.1 - 1e-9);
          const rounds = (start - begin) / round;
          expect(Math.abs(rounds - Math.round(rounds))).toBeLessThan(1e-6);
        },
      ),
      { numRuns: 50 },
    );
  });

  it('keeps a first note that is struck a little early in its round', () => {
    const to: PlayedTo = { bpm: 120, round: 2, begin: 1, measured: true };
    expect(startOfRound([2.96, 3.5], to)).toBeCloseTo(3, 9);
  });

  it('tells a delay that was not measured from the notes', () => {
    const beat = 0.5;
    const to: PlayedTo = { bpm: 120, round: 8 * beat, begin: 0.2, measured: false };
    for (const late of [0.02, 0.06, 0.12]) {
      const start = startOfRound(played(4.2 + late, beat), to);
      expect(Math.abs(start - 4.2 - late)).toBeLessThan(0.008);
    }
    // Later than any device is: the notes lie beside the beat, and are left there.
    expect(startOfRound(played(4.2 + 0.25, beat), to)).toBeCloseTo(4.2, 9);
  });
});
