import { describe, expect, it } from 'vitest';
import { findPositions } from '../../../../src/core/neck/areas';
import { fingeringCost } from '../../../../src/core/neck/costs';
import { figuresOf, withFiguresAlike } from '../../../../src/core/neck/figures-alike';
import type { Fingering, FingeringProblem } from '../../../../src/core/neck/problem';
import { problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
import { build } from '../../../support/build';
import { readSamples } from '../../../support/samples';

const problem = (text: string) => problemOf(build(text));

const at = (p: FingeringProblem, f: Fingering, moment: number) =>
  p.moments[moment]!.struck.map((n) => {
    const { string, fret } = f.places.get(p.notes[n]!.id)!;
    return `${string}/${fret}`;
  }).join('+');

/** The first eight moments of a sample's line, those of another, and the first again, as plain notes. */
function thereAndBack(a: FingeringProblem, b: FingeringProblem): FingeringProblem {
  const notes: FingeringProblem['notes'][number][] = [];
  const moments = [a, b, a].flatMap((p) =>
    p.moments.slice(0, 8).map((m) => ({
      onset: 0,
      seconds: 0.25,
      struck: m.struck.map((n) => {
        notes.push({ id: `n${notes.length}`, kind: 'stopped', midi: p.notes[n]!.midi });
        return notes.length - 1;
      }),
      held: [],
      ringing: [],
    })),
  );
  const { instrument, limits, style } = a;
  return { instrument, limits, style, notes, moments };
}

describe('a figure that comes again', () => {
  it('is found whatever its rhythm, never overlapping itself', () => {
    expect(figuresOf(problem('e 3/5 3/7 2/5 2/8 1/5 q 3/5 3/7 2/5 2/8'))).toEqual([
      { first: 0, again: 5, length: 4 },
    ]);
    expect(figuresOf(problem('e 3/5 3/5 3/5 3/5 3/5 3/5 3/5'))).toEqual([]);
    expect(figuresOf(problem('e 3/5 3/5 3/5 3/5 3/5 3/5 3/5 3/5'))).toEqual([
      { first: 0, again: 4, length: 4 },
    ]);
    expect(figuresOf(problem('e 3/5 3/7 2/5 2/8 1/5 3/5 3/7 2/5 2/7'))).toEqual([]);
    // A bend is another thing to a hand.
    expect(figuresOf(problem('e 3/5 3/7 2/5 2/8 1/5 3/5 3/7 2/5 2/8(bend:A4)'))).toEqual([]);
  });

  it('lies at the same places both times where that costs little, in lines there and back', () => {
    const lines = readSamples()
      .map((s) => problemOf(s.phrase))
      .filter((p) => p.moments.length >= 8 && p.instrument.tuning.length === 6)
      .filter((p) => p.notes.every((n) => n.kind === 'stopped'));
    let parted = 0;
    let mended = 0;
    lines.forEach((a, i) => {
      for (const by of [1, 2]) {
        const p = thereAndBack(a, lines[(i + by) % lines.length]!);
        const [first] = findFingerings(p);
        if (first === undefined) continue;
        const apart = (f: Fingering) =>
          [0, 1, 2, 3, 4, 5, 6, 7].some((k) => at(p, f, k) !== at(p, f, 16 + k));
        const alike = withFiguresAlike(p, first);
        // What is told of its cost is what its places cost, and no figure costs more than a change of position.
        expect(alike.cost).toBeCloseTo(fingeringCost(p, alike), 6);
        expect(alike.cost).toBeLessThanOrEqual(first.cost + figuresOf(p).length + 1e-9);
        if (!apart(first)) continue;
        parted++;
        if (!apart(alike)) mended++;
      }
    });
    console.log(`${mended} of ${parted} figures that were parted are alike`);
    expect(parted).toBeGreaterThan(3);
    expect(mended * 2).toBeGreaterThan(parted);
  });

  it('does not leave the places that a player has pinned', () => {
    const p = problem('e 3/5 3/7 2/5 2/8 1/5 1/8 3/5 3/7 2/5 2/8');
    const pinned = {
      ...p,
      notes: p.notes.map((n, i) => (i === 6 ? { ...n, onlyString: 4, onlyFret: 10 } : n)),
    };
    const [first] = findFingerings(pinned);
    const alike = withFiguresAlike(pinned, first!);
    expect(at(pinned, alike, 6)).toBe('4/10');
  });

  it('leaves a phrase alone in which nothing comes again', () => {
    const p = problem('e 3/5 3/7 2/5 2/8 1/5 1/8');
    const [first] = findFingerings(p);
    expect(withFiguresAlike(p, first!)).toBe(first);
    const phrase = build('e 3/5 3/7 2/5 2/8 1/5 1/8 3/5 3/7 2/5 2/8');
    const found = findPositions(phrase, { count: 3 });
    expect([...found].sort((a, b) => a.cost - b.cost)).toEqual(found);
  });
});
