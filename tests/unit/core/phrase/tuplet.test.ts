import { describe, expect, it } from 'vitest';
import { SHORTEST_TICKS } from '../../../../src/core/phrase/note-value';
import { canFill, playedIn, shortestIn, stepIn } from '../../../../src/core/phrase/tuplet';
import { isUsual, ratioText } from '../../../../src/core/phrase/tuplet-ratio';
import {
  readRatioText,
  TUPLET_RATIOS,
  tupletRatio,
} from '../../../../src/core/phrase/tuplet-ratios';
import { aTuplet, tupletName, tupletsName } from '../../../../src/core/phrase/tuplet-words';

describe('ratios of tuplets', () => {
  it('are read as they are printed, each as itself', () => {
    for (const r of TUPLET_RATIOS) expect(readRatioText(ratioText(r))).toEqual(r);
    expect(new Set(TUPLET_RATIOS.map(ratioText)).size).toBe(TUPLET_RATIOS.length);
    expect(readRatioText(' 7 : 4 ')).toEqual({ actual: 7, normal: 4 });
    for (const none of ['11', '11:8', '13:8', '17:3', '4:2', '3:3', '0:0', '', '7:', ':4', '7:4:2'])
      expect(readRatioText(none)).toBeNull();
  });

  it('are plain values in none, and have a whole number of ticks for every note (T1)', () => {
    for (const r of TUPLET_RATIOS) {
      expect(Number.isInteger(Math.log2(r.actual / r.normal))).toBe(false);
      expect(Number.isInteger(stepIn(r))).toBe(true);
      // The least value is the first that does: half of it would fall between two ticks.
      const half = shortestIn(r) / 2;
      expect(half < SHORTEST_TICKS || !Number.isInteger((half * r.normal) / r.actual)).toBe(true);
    }
  });

  it('of 3, 5, 7, 9 and 15 reach the 128th where a power of two stands against them', () => {
    const fine = TUPLET_RATIOS.filter((r) => shortestIn(r) === SHORTEST_TICKS);
    expect(fine.map((r) => `${r.actual}:${r.normal}`)).toContain('15:8');
    expect(shortestIn({ actual: 4, normal: 3 })).toBe(4 * SHORTEST_TICKS);
    expect(shortestIn({ actual: 2, normal: 3 })).toBe(2 * SHORTEST_TICKS);
  });

  it('have lengths that fall on ticks, or none', () => {
    expect(playedIn({ actual: 7, normal: 3 }, 5_040)).toBe(2_160);
    expect(playedIn({ actual: 15, normal: 8 }, 2_520)).toBe(1_344);
    expect(playedIn({ actual: 4, normal: 3 }, 630)).toBeNull();
    expect(playedIn(null, 630)).toBe(630);
    expect(canFill({ actual: 7, normal: 3 }, 15_120)).toBe(true);
    expect(canFill({ actual: 7, normal: 3 }, 20_160)).toBe(false);
    expect(canFill({ actual: 4, normal: 3 }, 1_890)).toBe(false);
  });

  it('are called as players call them, else by their numbers', () => {
    expect(tupletName({ actual: 3, normal: 2 })).toBe('triplet');
    expect(tupletsName({ actual: 6, normal: 4 })).toBe('sextuplets');
    expect(tupletName({ actual: 7, normal: 3 })).toBe('tuplet 7:3');
    expect(tupletsName({ actual: 15, normal: 8 })).toBe('tuplets 15:8');
    expect(['8', '7', '5:3'].map((t) => aTuplet(readRatioText(t)!))).toEqual([
      'an octuplet',
      'a septuplet',
      'a tuplet 5:3',
    ]);
    expect(tupletRatio(15)).toEqual({ actual: 15, normal: 8 });
    expect(isUsual({ actual: 7, normal: 8 })).toBe(false);
  });
});
