import { describe, expect, it } from 'vitest';
import { COST_NAMES, fingeringCost, fingeringCostParts } from '../../../../src/core/neck/costs';
import { problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
import type { FingeringStyle } from '../../../../src/core/neck/weights';
import type { Place } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { type BuildOptions, build } from '../../../support/build';

/** Cost of a phrase where it stands, with the index finger at the given fret at each moment. */
function costOf(line: string, hands: number[], style: FingeringStyle, options: BuildOptions = {}) {
  const phrase = build(line, options);
  const problem = problemOf(phrase, { keepPlaces: true });
  const places = new Map<string, Place>(notesOf(phrase).map(({ note }) => [note.id, note]));
  return fingeringCost(problem, { places, handPositions: hands }, style);
}

/**
 * Totals worked out by hand from the published table of weights. Tempo is 120 quarters a minute: in
 * *lead* an eighth is 0.25 s and a change of position costs 1.5 times as much, a quarter is 0.5 s and
 * costs 1.25 times as much. Millimetres: fret 1 36.3694, 3 103.099, 4 133.682, 5 162.5485, 9 262.697,
 * 12 324.000 (fret table at 648 mm). Home: the open strings of a guitar are 313 / 6 = 52.1667 on the
 * average, so A3 is at home at 0.5 + 0.45 · 4.8333 = 2.675, B3 3.575, C4 4.025, E4 5.825, F4 6.275,
 * B4 8.975, C5 9.425, E5 11.225, and everything up to F3 at fret 1.
 */
const at120: BuildOptions = { tempo: { bpm: 120, unit: 'quarter' } };

describe('[N4] totals worked out by hand', () => {
  it('1: one note, fret 12 under the little finger', () => {
    // Home: 11.225 − 9 = 2.225 · 0.08 = 0.178. Reach: 324.0 − 262.7 = 61 mm, comfortable.
    expect(costOf('e 1/12', [9], 'lead')).toBeCloseTo(0.178, 9);
  });

  it('2: two strings up and back in one position', () => {
    // Crossing: 4 → 3 is 0.4; 3 → 1 is 2 · 0.4 + 1 · 0.4 = 1.2. Home: (2.325 + 0.975 + 4.425) · 0.08 = 0.618.
    expect(costOf('e 4/7 3/5 1/8', [5, 5, 5], 'lead', at120)).toBeCloseTo(2.218, 9);
  });

  it('3: a change of position by seven frets in an eighth', () => {
    // (1.2 + 7 · 0.6) · 1.5 = 8.1; home (0.825 + 3.025) · 0.08 = 0.308.
    expect(costOf('e 2/5 2/12', [5, 12], 'lead', at120)).toBeCloseTo(8.408, 9);
  });

  it('4: the same change in a quarter, and carried by a slide', () => {
    // 5.4 · 1.25 + 0.308 = 7.058; with the slide 5.4 · 0.35 · 1.25 + 0.308 = 2.6705.
    expect(costOf('q 2/5 2/12', [5, 12], 'lead', at120)).toBeCloseTo(7.058, 9);
    expect(costOf('q 2/5 2/12(s)', [5, 12], 'lead', at120)).toBeCloseTo(2.6705, 9);
  });

  it('5: an open string inside a fretted line, and the same with a capo', () => {
    // 0.5 + 0.4 · (5 − 2) = 1.7; home of C4 0.975 · 0.08 = 0.078; no crossing.
    expect(costOf('e 3/5 3/0', [5, 5], 'lead', at120)).toBeCloseTo(1.778, 9);
    // With a capo 0.4 · (5 − 2) = 1.2 alone; home is counted from the capo as the frets are.
    const capo = { ...at120, instrument: { capo: 2 } };
    expect(costOf('e 3/5 3/0', [5, 5], 'lead', capo)).toBeCloseTo(1.278, 9);
  });

  it('6: a whole-tone bend low on string 4', () => {
    // 2 · (0.15 · (7 − 3) + 0.4 · (4 − 3)) = 2.0, one finger to help 2 · 0.4 / 2 = 0.4; home of F3 at fret 1: 1 · 0.08.
    expect(costOf('e 4/3(bend:G3)', [2], 'lead')).toBeCloseTo(2.48, 9);
  });

  it('7: a stretch over five frets at the nut', () => {
    // Reach: 162.5485 − 36.3694 = 126.179 mm, 28.179 over 98: 2.8179 · 0.3 = 0.84537. One fret beyond
    // one finger a fret: 1.3. Both notes are at home at fret 1.
    expect(costOf('e 6/1+5/5', [1], 'lead')).toBeCloseTo(2.14537, 4);
  });

  it('8: an open C chord, whole and its upper four strings', () => {
    // Two open strings 2 · −0.2 = −0.4, three fingers (3 − 1) · 0.15 = 0.3; 103.099 − 36.369 = 67 mm.
    // Home: (0 + 0 + 0.775 + 3.025 + 4.825) / 5 · 0.05 = 0.08625.
    expect(costOf('w 5/3+4/2+3/0+2/1+1/0', [1], 'chordal')).toBeCloseTo(-0.01375, 9);
    // Four strings at the nut: 2 · −0.1 = −0.2, (2 − 1) · 0.15, home 8.625 / 4 · 0.05 = 0.1078125.
    expect(costOf('w 4/2+3/0+2/1+1/0', [1], 'chordal')).toBeCloseTo(0.0578125, 9);
  });

  it('8b: a string left out between two', () => {
    // One string to be kept silent: 0.4. A2 and E3 with the hand at 2: home 1 and 1, 1 · 0.08.
    expect(costOf('e 6/5+4/2', [2], 'lead')).toBeCloseTo(0.48, 9);
  });

  it('9: a drone held under two notes, open and fretted', () => {
    // An open drone costs nothing. Moment 1 strikes strings 3 and 6, mean 4.5, moment 2 string 2 alone:
    // 2.5 strings away, 0.4 · 2.5 + 0.4 · 1.5 = 1.6. Home: (0.975 + 4) / 2 · 0.08 = 0.199 and
    // 1.275 · 0.08 = 0.102.
    const open = { ...at120, second: 'q 6/0' };
    expect(costOf('e 3/5 2/6', [5, 5], 'lead', open)).toBeCloseTo(1.901, 9);
    // A3 at fret 7 binds a finger at moment 2: 0.3. Mean 3.5 → 2: 0.4 · 1.5 + 0.4 · 0.5 = 0.8. Home:
    // (0.975 + 2.325) / 2 · 0.08 = 0.132 and 0.102.
    const fretted = { ...at120, second: 'q 4/7' };
    expect(costOf('e 3/5 2/6', [5, 5], 'lead', fretted)).toBeCloseTo(1.334, 9);
  });

  it('10: a let-ring note struck over, then left by the hand', () => {
    // n1 rings on: n2 is struck on its string (2), and at n3 the hand at 10 has left its fret 3 (2).
    // Change 3 → 10 in an eighth: (0.8 + 7 · 0.4) · (1 + 0.3) = 4.68. Crossing 5 → 3: 2 · 0.03 = 0.06.
    // Region above 3 at 10: 7 · 0.15 = 1.05. n2 rings at n3 as well, its fret 5 left: 2.
    const line = 'e 5/3(ring) 5/5(ring) 3/12(ring)';
    expect(costOf(line, [3, 3, 10], 'fingerstyle', at120)).toBeCloseTo(
      2 + 4 + 4.68 + 0.06 + 1.05,
      9,
    );
  });

  it('11: a let-ring note struck again at its own fret is not cut off', () => {
    // Fingers, region and reach are nothing at hand 3, one fret.
    expect(costOf('e 5/3(ring) 5/3(ring)', [3, 3], 'fingerstyle', at120)).toBeCloseTo(0, 9);
  });

  it('12: the index finger reaches one fret back', () => {
    // 1; home of B3 5 − 3.575 = 1.425 · 0.08 = 0.114.
    expect(costOf('e 3/4', [5], 'lead')).toBeCloseTo(1.114, 9);
  });
});

describe('[N4] the parts', () => {
  it('add up to the total, which is what the search reports', () => {
    const problem = problemOf(build('e 3/5 2/5+1/5 2/8(bend:A4) 4/7 5/3', { second: 'w 6/0' }));
    for (const style of ['lead', 'chordal', 'fingerstyle'] as const) {
      const [best] = findFingerings(problem, { style });
      const parts = fingeringCostParts(problem, best!, style);
      const sum = COST_NAMES.reduce((t, name) => t + parts[name], 0);
      expect(sum).toBeCloseTo(best!.cost, 9);
    }
  });

  it('throws where a note has no place', () => {
    const problem = problemOf(build('e 3/5'));
    expect(() => fingeringCost(problem, { places: new Map(), handPositions: [5] }, 'lead')).toThrow(
      'note n1 has no place',
    );
  });
});
