import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  barAtPercent,
  chosenIn,
  type LineBar,
  lineBarsIn,
  lineBarsText,
  pressed,
} from '../../../../src/core/lesson/line-bars';

const LINE: readonly LineBar[] = [
  { number: 0, from: 3, to: 11.5 },
  { number: 1, from: 11.5, to: 60 },
  { number: 2, from: 60, to: 99.9 },
];

describe('bars of a line', () => {
  it('are written as an attribute and read again', () => {
    expect(lineBarsText(LINE)).toBe('0:3:11.5 1:11.5:60 2:60:99.9');
    expect(lineBarsIn(lineBarsText(LINE))).toEqual(LINE);
    expect(lineBarsIn('')).toEqual([]);
    expect(barAtPercent([], 50)).toBeNull();
  });

  it('are found at a place, the nearest where none is', () => {
    expect([0, 3, 20, 61, 100].map((x) => barAtPercent(LINE, x))).toEqual([0, 0, 1, 2, 2]);
  });

  it('are marked from the first to the last that is in the line', () => {
    expect(chosenIn(LINE, [1, 5])).toEqual({ left: 11.5, width: 99.9 - 11.5 });
    expect(chosenIn(LINE, [3, 5])).toBeNull();
  });

  it('are chosen in either direction, and all again by the one that is chosen', () => {
    const bar = fc.nat(20);
    fc.assert(
      fc.property(bar, bar, (a, b) => {
        const range = pressed(a, b, null);
        expect(range).toEqual([Math.min(a, b), Math.max(a, b)]);
        expect(pressed(a, b, range)).toEqual(a === b ? null : range);
      }),
    );
  });
});
