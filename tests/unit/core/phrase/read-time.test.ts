import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readBeat } from '../../../../src/core/phrase/read-beat';
import { readLength } from '../../../../src/core/phrase/read-length';
import { beatPlace, lengthWords } from '../../../../src/core/phrase/time-words';

const QUARTER = 10_080;
const EIGHTH = QUARTER / 2;

describe('a length that is typed', () => {
  it('is read as lengthWords says it, whatever note or tied notes it is', () => {
    // Plain, dotted and in tuplets (T1); with decimals it says that there is no name.
    const value = fc.tuple(
      fc.integer({ min: 0, max: 7 }).map((n) => (4 * QUARTER) / 2 ** n),
      fc.constantFrom(1, 1.5, 1.75, 2 / 3, 4 / 5, 4 / 7, 8 / 9),
    );
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 3 }), (values) => {
        const length = Math.round(values.reduce((sum, [v, part]) => sum + v * part, 0));
        const said = lengthWords(length);
        fc.pre(!/quarters|about/u.test(said));
        expect(readLength(said)?.ticks, said).toBe(length);
      }),
    );
  });

  it('says the same in numbers, in words and as a part of a whole note', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 12 }),
        fc.constantFrom(
          [2, 'half note', 'minim'],
          [4, 'quarter', 'crotchet'],
          [8, 'eighth', 'quaver'],
          [16, '16th', 'semiquaver'],
        ),
        (count, [part, name, other]) => {
          const ticks = (count * 4 * QUARTER) / (part as number);
          for (const text of [`${count} ${name}`, `${count} ${other}s`, `${count}/${part}`])
            expect(readLength(text)?.ticks, text).toBe(ticks);
        },
      ),
    );
  });

  it.each([
    ['1.5', 1.5 * EIGHTH],
    ['1/8', EIGHTH],
    ['an eighth', EIGHTH],
    ['Dotted Quarter note', 3 * EIGHTH],
    ['dotted 1/4', 3 * EIGHTH],
    ['1/4 + 1/16', 2.5 * EIGHTH],
    ['a half note tied to an eighth', 5 * EIGHTH],
    ['quarter triplets', (2 / 3) * QUARTER],
    ['½', 4 * EIGHTH],
    ['1½', 1.5 * EIGHTH],
    ['2 ½ quarters', 5 * EIGHTH],
    ['⅜', 3 * EIGHTH],
    ['double dotted half', 7 * EIGHTH],
  ])('%s', (text, ticks) => {
    expect(readLength(text)?.ticks).toBe(ticks);
  });

  it.each([
    '',
    'a',
    'eighth eighth',
    '1/7',
    '1/0',
    'dotted',
    'two',
    'a while',
    '1/8 and',
    '-1',
    'constructor eighth',
    '__proto__',
  ])('%j is none', (text) => expect(readLength(text)).toBeNull());
});

describe('a beat that is typed', () => {
  it('is read as beatPlace says it, in its metre', () => {
    const meter = fc.constantFrom(
      { beats: 4, beatType: 4 } as const,
      { beats: 12, beatType: 8 } as const,
      { beats: 2, beatType: 2 } as const,
      { beats: 7, beatType: 8 } as const,
    );
    const part = fc.constantFrom(1, 2, 3, 4, 5, 6, 7, 8, 9, 12);
    fc.assert(
      fc.property(meter, part, fc.nat(11), fc.integer({ min: 1, max: 7 }), (m, n, k, whole) => {
        const beat = whole + (k % n) / n;
        const said = beatPlace(beat, m);
        expect(readBeat(said, m), said).toBeCloseTo(beat, 2);
      }),
    );
  });

  it.each([
    ['2', 2],
    ['2.5', 2.5],
    ['2,5', 2.5],
    ['2 and', 2.5],
    ['beat 2&', 2.5],
    ['beat 3', 3],
    ['3+', 3.5],
    ['2½', 2.5],
    ['1 2/3', 1 + 2 / 3],
    ['1.67', 1 + 2 / 3],
    ['2 4th 16th', 2.75],
  ])('%s', (text, beat) => {
    expect(readBeat(text, { beats: 4, beatType: 4 })).toBeCloseTo(beat, 10);
  });

  it('needs the metre for a place that is told in note values', () => {
    expect(readBeat('2, second eighth', { beats: 12, beatType: 8 })).toBeCloseTo(2 + 1 / 3, 10);
    expect(readBeat('2, second eighth', null)).toBeNull();
    for (const text of ['', 'late', '2 3/2', '2 1/0', '1.'])
      expect(readBeat(text, null)).toBeNull();
  });
});
