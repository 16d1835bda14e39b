import { describe, expect, it } from 'vitest';
import { AlikeIndex } from '../../../../src/core/search/alike/alike';
import { unlikeness } from '../../../../src/core/search/alike/distance';
import { alikeLine } from '../../../../src/core/search/alike/line';
import { sheetOf } from '../../../../src/core/search/catalogue/sheet';
import { build } from '../../../support/build';
import { Dice } from '../../../support/generate/dice';
import { seededPhrase } from '../../../support/generate/phrase';

const lineOf = (text: string, chords = 'G7') => alikeLine(sheetOf(build(text, { chords })));
const walk = lineOf('e 4/5 3/4 3/5 3/7 q 2/6 2/8');

describe('how unlike two melodies are', () => {
  it.each([
    ['itself', 'e 4/5 3/4 3/5 3/7 q 2/6 2/8', 'G7', 0],
    ['the same in another key', 'e 4/7 3/6 3/7 3/9 q 2/8 2/10', 'A7', 0],
    // The second note has another pitch a semitone off and another role: 0.4 + 0.06, over six notes.
    ['one note changed', 'e 4/5 3/3 3/5 3/7 q 2/6 2/8', 'G7', 0.46 / 6],
    // The last quarter is fragmented into two: 0.35, and 0.2 for twice the time, over seven notes.
    ['one note more', 'e 4/5 3/4 3/5 3/7 q 2/6 2/8 2/13', 'G7', 0.55 / 7],
    // The first of two sixteenths is the eighth, consolidated: 0.35, over seven notes.
    ['one note divided', 's 4/5 4/7 e 3/4 3/5 3/7 q 2/6 2/8', 'G7', 0.35 / 7],
  ])('%s', (_, text, chords, expected) => {
    const other = lineOf(text, chords);
    expect(unlikeness(walk, other)).toBeCloseTo(expected, 9);
    expect(unlikeness(other, walk)).toBeCloseTo(expected, 9);
  });

  it('is 0 of a melody to itself', () => {
    for (let i = 0; i < 16; i++) {
      const line = alikeLine(sheetOf(seededPhrase(i)));
      expect(unlikeness(line, line)).toBe(0);
    }
  });
});

describe('more like this', () => {
  const lines = Array.from({ length: 60 }, (_, i) => alikeLine(sheetOf(seededPhrase(i))));
  const index = new AlikeIndex();
  for (const [i, line] of lines.entries()) index.put(i, line);

  it('finds a melody that was moved and has a note changed', () => {
    for (const [i, line] of lines.entries()) {
      if (line.pitches.length < 6) continue;
      const d = new Dice(i, 930);
      const at = d.int(0, line.pitches.length - 1);
      const pitches = Array.from(line.pitches, (p, k) => p + 5 + (k === at ? 2 : 0));
      const [first] = index.find({ ...line, pitches }, 3);
      expect(first?.number).toBe(i);
    }
  });

  it('answers with what is there, the likest first', () => {
    const some = new AlikeIndex();
    for (const [i, line] of lines.entries()) some.put(i, line);
    const line = lines[7]!;
    expect(some.find(line, 1)).toEqual([{ number: 7, unlikeness: 0 }]);
    some.delete(7);
    const found = some.find(line, 5);
    expect(found.map((f) => f.number)).not.toContain(7);
    const unlike = found.map((f) => f.unlikeness);
    expect(unlike).toEqual([...unlike].sort((a, b) => a - b));
    expect(some.find(line, 5, (n) => n % 2 === 0).every((f) => f.number % 2 === 0)).toBe(true);
  });
});
