import { describe, expect, it } from 'vitest';
import {
  COST_NAMES,
  type FingeringStyle,
  fingeringCost,
  fingeringCostParts,
} from '../../../../src/core/neck/costs';
import { problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
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
 * Totals worked out by hand from the published table of weights. Tempo is 120 quarters a minute:
 * an eighth is 0.25 s and a change of position costs (1 + hurry) times as much, a quarter is 0.5 s
 * and costs (1 + hurry / 2) times as much. Millimetres: fret 1 36.3694, 3 103.099, 4 133.682,
 * 5 162.5485, 9 262.697, 12 324.000 (fret table at 648 mm).
 */
const at120: BuildOptions = { tempo: { bpm: 120, unit: 'quarter' } };

describe('[N4] ten totals worked out by hand', () => {
  it('1: one note, fret 12 under the little finger', () => {
    // Region: hand at 9, three above 6: 3 · 0.03 = 0.09. Reach: 324.0 − 262.7 = 61 mm, comfortable.
    expect(costOf('e 1/12', [9], 'lead')).toBeCloseTo(0.09, 9);
  });

  it('2: two strings up and back in one position', () => {
    // Crossing: 4 → 3 is 0.25; 3 → 1 is 2 · 0.25 + 1 · 0.2 = 0.7. Position 5: no region cost.
    expect(costOf('e 4/7 3/5 1/8', [5, 5, 5], 'lead', at120)).toBeCloseTo(0.95, 9);
  });

  it('3: a change of position by seven frets in an eighth', () => {
    // (0.65 + 7 · 0.35) · (1 + 0.45) = 4.495; region at 12: 6 · 0.03 = 0.18.
    expect(costOf('e 2/5 2/12', [5, 12], 'lead', at120)).toBeCloseTo(4.675, 9);
  });

  it('4: the same change in a quarter, and carried by a slide', () => {
    // 3.1 · 1.225 + 0.18 = 3.9775; with the slide 3.1 · 0.35 · 1.225 + 0.18 = 1.509125.
    expect(costOf('q 2/5 2/12', [5, 12], 'lead', at120)).toBeCloseTo(3.9775, 9);
    expect(costOf('q 2/5 2/12(s)', [5, 12], 'lead', at120)).toBeCloseTo(1.509125, 9);
  });

  it('5: an open string inside a fretted line', () => {
    // 0.4 + 0.4 · (5 − 2) = 1.6, no crossing.
    expect(costOf('e 3/5 3/0', [5, 5], 'lead', at120)).toBeCloseTo(1.6, 9);
  });

  it('6: a whole-tone bend low on string 4', () => {
    // 2 · (0.15 · (7 − 3) + 0.4 · (4 − 3)) = 2.0; region at 2: 2 · 0.02 = 0.04.
    expect(costOf('e 4/3(bend:G3)', [2], 'lead')).toBeCloseTo(2.04, 9);
  });

  it('7: a stretch over five frets at the nut', () => {
    // Reach: 162.5485 − 36.3694 = 126.179 mm, 29.179 over 97: 2.9179 · 0.55 = 1.60485. One fret beyond
    // one finger a fret: 0.9. Region at 1: 3 · 0.02 = 0.06.
    expect(costOf('e 6/1+5/5', [1], 'lead')).toBeCloseTo(2.56485, 4);
  });

  it('8: an open C chord', () => {
    // Two open strings 2 · −0.2 = −0.4, three fingers (3 − 1) · 0.15 = 0.3; 103.099 − 36.369 = 67 mm.
    expect(costOf('w 5/3+4/2+3/0+2/1+1/0', [1], 'chordal')).toBeCloseTo(-0.1, 9);
  });

  it('9: a drone held under two notes', () => {
    // Moment 1 strikes strings 3 and 6, mean 4.5; open 0.4 + 0.4 · (5 − 2) = 1.6. Moment 2 strikes
    // string 2 alone: 2.5 strings away, 0.25 · 2.5 + 0.2 · 1.5 = 0.925. The drone costs no more.
    expect(costOf('e 3/5 2/6', [5, 5], 'lead', { ...at120, second: 'q 6/0' })).toBeCloseTo(
      2.525,
      9,
    );
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
