import { describe, expect, it } from 'vitest';
import { fingeringCost } from '../../../../src/core/neck/costs';
import { explainCost, reasonText } from '../../../../src/core/neck/explain';
import type { FingeringProblem } from '../../../../src/core/neck/problem';
import { problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
import type { Phrase } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { seededPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';
import { readSamples } from '../../../support/samples';

/** The reasons for a phrase where it stands, with the hand at the given frets, as lines. */
function reasons(p: Phrase, hands: number[], sides: Partial<FingeringProblem> = {}): string[] {
  const problem = { ...problemOf(p, { keepPlaces: true }), ...sides };
  const places = new Map(notesOf(p).map(({ note }) => [note.id, note]));
  return explainCost(p, problem, { places, handPositions: hands }).map(reasonText);
}

describe("a fingering's cost in a player's words", () => {
  it('names shifts, stretches in mm, open strings and bends with their bars', () => {
    const shifted = reasons(build('h 3/5 3/7 h 3/9 2/12'), [5, 5, 9, 9]);
    expect(shifted[0]).toBe('shift from fret 5 to fret 9 at bar 2');
    // Frets 5 to 9 are 262.697 − 162.5485 = 100 mm (N1).
    expect(reasons(build('h 5/9'), [5])).toContain('stretch of 100 mm, frets 5 to 9 at bar 1');
    expect(reasons(build('h 4/7 3/0 h 4/7 3/0'), [5, 5, 5, 5])).toContain('open G at bars 1 and 2');
    expect(reasons(build('h 3/3(bend:C4)'), [3])).toContain(
      'stiff bend on string 3 fret 3 with the index finger at bar 1',
    );
    expect(reasons(build('h 4/9(bend:C#4)'), [7])).toContain(
      'pulled bend on string 4 fret 9 at bar 1',
    );
    expect(reasons(build('h 3/4'), [5])).toContain('index finger reaches back to fret 4 at bar 1');
  });

  it('names an open string as it sounds with a capo', () => {
    const capo = build('h 4/7 3/0', { instrument: { capo: 2 } });
    expect(reasons(capo, [5, 5])).toContain('open A at bar 1');
  });

  it('tells of the way in and the way on', () => {
    const side = { seconds: 1 };
    const ways = reasons(build('h 3/5'), [5], {
      before: { hand: 2, ...side },
      after: { hand: 9, ...side },
    });
    expect(ways[0]).toBe('shift from fret 2 to fret 5 and on to fret 9 at bar 1');
  });

  it('adds up to the cost, for samples and generated phrases in every style', () => {
    const seeded = Array.from({ length: 30 }, (_, i) => seededPhrase(i + 1, { maxEvents: 12 }));
    let told = 0;
    for (const p of [...readSamples().map((s) => s.phrase), ...seeded]) {
      const problem = problemOf(p);
      for (const style of ['lead', 'chordal', 'fingerstyle'] as const) {
        const [f] = findFingerings(problem, { style });
        if (f === undefined) continue;
        const why = explainCost(p, problem, f, style);
        const sum = why.reduce((t, r) => t + r.cost, 0);
        expect(sum).toBeCloseTo(fingeringCost(problem, f, style), 8);
        for (const r of why) expect(r.bars.every((b) => b >= 0 && b <= p.bars.length)).toBe(true);
        told += why.length;
      }
    }
    expect(told).toBeGreaterThan(300);
  });
});
