import { describe, expect, it } from 'vitest';
import { readQuery } from '../../../../src/core/search/query/read';
import { askedFor, risesPlayed } from '../../../../src/ui/library/played';

const rises = (text: string) => {
  const read = risesPlayed(text);
  return read.ok ? read.value : read.problems[0]?.column;
};

describe('what is played to be found', () => {
  // Standard tuning: string 3 is G3, string 2 is B3 (P4).
  it.each([
    ['', []],
    ['3:5', []],
    ['3:5 3:7 2:6', [2, 3]],
    ['3:5 3:5 3:4', [0, -1]],
    ['1:0 6:0', [-24]],
    ['3:5 3:7 zz', 9],
  ])('%s', (text, expected) => expect(rises(text)).toEqual(expected));

  it.each([
    [[2, -1], '', 'intervals:+2-1'],
    [[2, 0], 'ferry', 'ferry intervals:+2+0'],
    [[2], 'ferry intervals:+9-9 level:1', 'ferry intervals:+2 level:1'],
    [[2], 'a or b', '(a or b) intervals:+2'],
    [[], 'ferry intervals:+2', 'ferry'],
    [[], 'ferry', 'ferry'],
  ])('%j in %s', (list, question, asked) => {
    expect(askedFor(list, question)).toBe(asked);
    expect(readQuery(asked).ok).toBe(true);
  });
});
