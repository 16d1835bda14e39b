import { describe, expect, it } from 'vitest';
import type { Bar, Meter, Phrase } from '../../../../src/core/phrase/types';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { expectProblem } from '../../../support/broken';
import { build } from '../../../support/build';

const THREE_FOUR: Meter = { beats: 3, beatType: 4 };

/** Empty bars of 3/4 with what is given for each. */
function form(...bars: readonly Omit<Bar, 'meter'>[]): Phrase {
  const p = build('q -', { meter: '3/4', bars: bars.length });
  return { ...p, bars: bars.map((b) => ({ meter: THREE_FOUR, ...b })) };
}

describe('the extent (T2)', () => {
  const empty = build('q -', { meter: '3/4', bars: 3 });

  it('has a bar', () => {
    expectProblem({ ...empty, bars: [] }, { pointer: '/bars', says: 'no bar' });
  });

  it.each([
    ['a whole bar', 30_240, 120_960, 0, 1],
    ['off the grid', 5_000, 65_520, 0, 1 + 25_240 / 10_080],
    ['negative', -315, 90_405, 1, 1 + 315 / 10_080],
  ])(
    'has a pickup shorter than the first bar, on the grid: not %s',
    (_, pickup, length, bar, beat) => {
      const p = { ...empty, pickup, length };
      expectProblem(p, { pointer: '/pickup', bar, beat, says: `a pickup of ${pickup} ticks` });
    },
  );

  it.each([65_520, 95_760 + 315, 70_000])('ends inside the last bar: not at %d', (length) => {
    const p = { ...empty, pickup: 5_040, length };
    expectProblem(p, { pointer: '/length', says: 'from 65520 to 95760' });
  });

  it.each([65_520 + 315, 95_760])('may end at %d', (length) => {
    expect(checkPhrase({ ...empty, pickup: 5_040, length })).toEqual([]);
  });
});

describe('repeats and endings', () => {
  it.each([
    ['a repeat from the beginning', form({}, { repeatEnd: 2 }, {})],
    ['a repeat of one bar', form({ repeatStart: true, repeatEnd: 4 }, {})],
    [
      'two repeats',
      form({ repeatStart: true }, { repeatEnd: 2 }, { repeatStart: true, repeatEnd: 3 }),
    ],
    ['two endings', form({}, { ending: [1], repeatEnd: 2 }, { ending: [2] })],
    [
      'long endings',
      form(
        {},
        { ending: [1] },
        { ending: [1], repeatEnd: 2 },
        { ending: [2] },
        { ending: [2] },
        {},
      ),
    ],
    [
      'a first ending for two passes',
      form({ repeatStart: true }, { ending: [1, 2], repeatEnd: 3 }, { ending: [3] }),
    ],
    [
      'three endings',
      form({}, { ending: [1], repeatEnd: 3 }, { ending: [2], repeatEnd: 3 }, { ending: [3] }, {}),
    ],
    [
      'a repeat after endings',
      form(
        {},
        { ending: [1], repeatEnd: 2 },
        { ending: [2] },
        { repeatStart: true },
        { repeatEnd: 2 },
      ),
    ],
  ])('can be written: %s', (_, p) => {
    expect(checkPhrase(p)).toEqual([]);
  });

  it.each([
    [
      'a start inside a repeat',
      form({ repeatStart: true }, { repeatStart: true }, { repeatEnd: 2 }),
      1,
      'repeatStart',
      'started at bar 1',
    ],
    ['a start without an end', form({}, { repeatStart: true }, {}), 1, 'repeatStart', 'never ends'],
    [
      'an ending with nothing before it',
      form({ ending: [1], repeatEnd: 2 }, { ending: [2] }),
      0,
      'ending',
      'no bars before it',
    ],
    [
      'an ending right after a repeat',
      form({ repeatEnd: 2 }, { ending: [1], repeatEnd: 2 }, { ending: [2] }),
      1,
      'ending',
      'no bars before it',
    ],
    ['a first ending alone', form({}, { ending: [1] }, {}), 1, 'ending', 'no second'],
    [
      'a gap',
      form({}, { ending: [1], repeatEnd: 3 }, { ending: [3] }),
      2,
      'ending',
      'numbered 3 where 2 is due',
    ],
    [
      'a first ending called 2',
      form({}, { ending: [2], repeatEnd: 3 }, { ending: [2, 3] }),
      1,
      'ending',
      'numbered 2 where 1 is due',
    ],
    [
      'descending passes',
      form({}, { ending: [2, 1], repeatEnd: 3 }, { ending: [3] }),
      1,
      'ending',
      'numbered 2, 1 where 1, 2 is due',
    ],
    [
      'a first ending that goes on',
      form({}, { ending: [1] }, { ending: [2] }),
      1,
      'ending',
      'does not close',
    ],
    [
      'a last ending that repeats',
      form({}, { ending: [1], repeatEnd: 2 }, { ending: [2], repeatEnd: 2 }),
      2,
      'repeatEnd',
      'under the last one',
    ],
    [
      'a repeat inside an ending',
      form({}, { ending: [1], repeatEnd: 2 }, { ending: [1], repeatEnd: 2 }, { ending: [2] }),
      1,
      'repeatEnd',
      'inside an ending',
    ],
    [
      'passes without an ending',
      form({}, { ending: [1], repeatEnd: 5 }, { ending: [2] }),
      1,
      'repeatEnd',
      'played 5 times and has endings for 2',
    ],
    [
      'a start under an ending',
      form({}, { ending: [1], repeatEnd: 2 }, { ending: [2], repeatStart: true }),
      2,
      'repeatStart',
      'under an ending',
    ],
  ])('cannot be written: %s', (_, p, bar, field, says) => {
    expectProblem(p, { pointer: `/bars/${bar}/${field}`, bar: bar + 1, beat: 1, says });
  });
});
