import { describe, expect, it } from 'vitest';
import type { CostReason } from '../../../../src/core/neck/explain';
import { asksText, effortText, partName, placeWords } from '../../../../src/ui/phrase/place-words';

const reason = (
  part: CostReason['part'],
  cost: number,
  what: string,
  bars: number[],
): CostReason => ({
  part,
  cost,
  what,
  bars,
  noteIds: [],
});

describe('what is said of another place', () => {
  it('tells what weighs most first, with its bars, and apart from it what helps', () => {
    const words = placeWords([
      reason('shift', 4.2, 'shift from fret 5 to fret 9', [2]),
      reason('reach', 1.5, 'stretch of 92 mm, frets 3 to 7', [1, 3]),
      reason('crossing', 0.2, 'changes of string', [1, 2, 3]),
      reason('open', -0.6, 'open D', [4]),
      reason('open', -1.1, 'open G', [1]),
    ]);
    expect(asksText(words.asks)).toBe(
      'Shift from fret 5 to fret 9 at bar 2; stretch of 92 mm, frets 3 to 7 at bars 1 and 3.',
    );
    expect(words.eases).toEqual(['open G at bar 1', 'open D at bar 4']);
  });

  it('says that nothing is asked, counts effort to a tenth, and names parts with a pickup', () => {
    expect(asksText(placeWords([]).asks)).toMatch(/lies still/u);
    expect(effortText(12.345)).toBe('effort 12.3');
    expect(effortText(-0.44)).toBe('effort −0.4');
    expect([partName([0, 4]), partName([5, 8]), partName([9, 9])]).toEqual([
      'The pickup to bar 4',
      'Bars 5 to 8',
      'Bar 9',
    ]);
  });
});
