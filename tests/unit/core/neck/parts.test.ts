import { describe, expect, it } from 'vitest';
import { applyFingering } from '../../../../src/core/neck/apply';
import { areDifferentAreas } from '../../../../src/core/neck/areas';
import { fingeringCost } from '../../../../src/core/neck/costs';
import { endsOf } from '../../../../src/core/neck/neighbours';
import { findPartPositions } from '../../../../src/core/neck/parts';
import { checkPlayable } from '../../../../src/core/neck/playable';
import { problemOf } from '../../../../src/core/neck/problem-of';
import { findFingerings } from '../../../../src/core/neck/solve';
import { notesOf } from '../../../../src/core/phrase/walk';
import { build } from '../../../support/build';
import { readSamples } from '../../../support/samples';

const LICK = 'e 3/5 3/7 2/5 2/8 2/5 3/7 3/5 4/7';

describe('areas by part', () => {
  it('leaves a short phrase in one part and cuts a chorus into about four bars each', () => {
    expect(findPartPositions(build(LICK), { count: 2 }).map((x) => x.bars)).toEqual([[1, 1]]);
    const chorus = build(`${LICK} `.repeat(12));
    const parts = findPartPositions(chorus, { count: 3 });
    expect(parts.map((x) => x.bars)).toEqual([
      [1, 4],
      [5, 8],
      [9, 12],
    ]);
    for (const { positions } of parts) expect(positions).toHaveLength(3);
  });

  it('places the notes of a part only; every choice goes with every other', () => {
    for (const { phrase, name } of readSamples()) {
      const parts = findPartPositions(phrase, { count: 3 });
      const ids = parts.flatMap((x) => [...(x.positions[0]?.places.keys() ?? [])]);
      expect(new Set(ids).size, name).toBe(ids.length);
      expect(new Set(ids), name).toEqual(new Set(problemOf(phrase).notes.map((n) => n.id)));
      let placed = phrase;
      parts.forEach((x, i) => {
        placed = applyFingering(placed, x.positions[i % x.positions.length]!);
        x.positions.forEach((f, k) => {
          expect(fingeringCost(x.problem, f)).toBeCloseTo(f.cost, 8);
          for (const g of x.positions.slice(0, k))
            expect(areDifferentAreas(x.problem, g, f)).toBe(true);
        });
      });
      expect(checkPlayable(placed), name).toEqual([]);
      expect(notesOf(placed)).toHaveLength(notesOf(phrase).length);
    }
  }, 30_000);

  it('never cuts through a note that is held, linked or ringing', () => {
    // The drone is struck in the middle of every bar and held over the bar line.
    const held = build(`${LICK} `.repeat(8), { second: `h - ${'w 6/0 '.repeat(7)}` });
    const parts = findPartPositions(held, { count: 1 });
    expect(parts.length).toBeGreaterThan(1);
    for (const { problem } of parts) expect(problem.moments[0]!.held).toEqual([]);
  });
});

describe('where the hand comes from', () => {
  it('draws the next phrase to the place of the one before, softly', () => {
    const high = build('e 3/12 3/14 2/12 2/15');
    const line = build('e 4/7 4/9 3/7');
    const { last } = endsOf(high)!;
    expect(last.hand).toBe(12);
    const alone = findFingerings(problemOf(line))[0]!;
    const after = findFingerings(problemOf(line, { before: { ...last, seconds: 0.25 } }))[0]!;
    expect(after.handPositions[0]!).toBeGreaterThan(alone.handPositions[0]!);
  });

  it('keeps the first place where the player has said it', () => {
    const p = build('e 4/10 4/12 3/9');
    const [f] = findFingerings(problemOf(p, { keepFirst: true }));
    expect(f!.places.get('n1')).toEqual({ string: 4, fret: 10 });
    const [free] = findFingerings(problemOf(p));
    expect(free!.places.get('n1')).not.toEqual({ string: 4, fret: 10 });
  });
});
