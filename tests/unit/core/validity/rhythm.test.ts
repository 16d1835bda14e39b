import { describe, expect, it } from 'vitest';
import type { Phrase, PhraseEvent, Tuplet } from '../../../../src/core/phrase/types';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { MAX_PROBLEMS } from '../../../../src/core/validity/findings';
import { expectProblem, withValue } from '../../../support/broken';
import { build } from '../../../support/build';

const line = build('q 5/7 e 4/5 4/7(h) | q. 3/5 e 3/7 q 2/5 2/8', { pickup: 20_160 });
const event = (i: number) => `/voices/0/events/${i}`;

describe('events of a voice', () => {
  it('are right in the line the examples start from', () => {
    expect(checkPhrase(line)).toEqual([]);
  });

  it('last', () => {
    const p = withValue(line, `${event(3)}/duration`, 0);
    expectProblem(p, { pointer: `${event(3)}/duration`, bar: 1, beat: 1, says: 'no length' });
    expect(checkPhrase(withValue(line, `${event(3)}/duration`, -315))[0]?.message).toContain(
      'no length',
    );
  });

  it('do not overlap', () => {
    const p = withValue(line, `${event(4)}/onset`, 20_160 + 15_120 - 315);
    const at = { pointer: `${event(4)}/onset`, bar: 1, beat: 1 + 14_805 / 10_080 };
    expectProblem(p, { ...at, says: 'before the one before it' });
  });

  it('have no place where their onset is no number', () => {
    const found = checkPhrase(withValue(line, `${event(6)}/onset`, Number.NaN));
    expect(found[0]).toMatchObject({ pointer: `${event(6)}/onset` });
    expect(found[0]).not.toHaveProperty('bar');
  });

  it('begin in the phrase', () => {
    const p = withValue(withValue(line, `${event(0)}/onset`, -315), `${event(0)}/duration`, 10_395);
    const at = { pointer: `${event(0)}/onset`, bar: 0, beat: 3 - 1 / 32 };
    expectProblem(p, { ...at, says: 'before the phrase' });
  });

  it('end in the phrase', () => {
    const p = { ...line, length: 50_400 };
    const at = { pointer: `${event(6)}/duration`, bar: 1, beat: 4 };
    expectProblem(p, { ...at, says: 'ends at tick 60480, after the end of the phrase at 50400' });
  });

  it('start and end on the grid of 128ths (T1)', () => {
    const start = withValue(line, `${event(6)}/onset`, 50_400 + 105);
    expectProblem(withValue(start, `${event(6)}/duration`, 9_975), {
      pointer: `${event(6)}/onset`,
      bar: 1,
      beat: 4 + 105 / 10_080,
      says: 'tick 50505 is no place where a note value can start',
    });
    expectProblem(withValue(line, `${event(6)}/duration`, 10_000), {
      pointer: `${event(6)}/duration`,
      bar: 1,
      beat: 4,
      says: 'tick 60400 is no place where a note value can end',
    });
    // A dotted 64th, the shortest dotted value: 630 + 315 ticks.
    expect(checkPhrase(withValue(line, `${event(6)}/duration`, 945))).toEqual([]);
  });
});

/** One voice with one note from tick `from` to `to` and these tuplets, two bars of 4/4. */
function tuplets(list: readonly Tuplet[], from = 0, to = 40_320): Phrase {
  const p = build('w 3/5', { bars: 2 });
  const events: PhraseEvent[] = [{ ...p.voices[0].events[0]!, onset: from, duration: to - from }];
  return { ...p, voices: [{ events, tuplets: list }] };
}

const triplet: Tuplet = { onset: 10_080, duration: 10_080, actual: 3, normal: 2 };

describe('tuplets', () => {
  it.each([
    ['eighths 3:2', { actual: 3, normal: 2, duration: 10_080 }, 3_360],
    ['128ths 3:2', { actual: 3, normal: 2, duration: 630 }, 210],
    ['halves 3:2', { actual: 3, normal: 2, duration: 40_320 }, 13_440],
    ['16ths 5:4', { actual: 5, normal: 4, duration: 10_080 }, 2_016],
    ['16ths 7:4', { actual: 7, normal: 4, duration: 10_080 }, 1_440],
    ['32nds 9:8', { actual: 9, normal: 8, duration: 10_080 }, 1_120],
    ['eighths 7:3', { actual: 7, normal: 3, duration: 15_120 }, 2_160],
    ['16ths 15:8', { actual: 15, normal: 8, duration: 20_160 }, 1_344],
    ['eighths 2:3', { actual: 2, normal: 3, duration: 15_120 }, 7_560],
    ['32nds 4:3', { actual: 4, normal: 3, duration: 3_780 }, 945],
  ] as const)('divide: %s', (_, t, unit) => {
    // A note of one unit, and one that is tied from the second unit over the end of the tuplet.
    expect(checkPhrase(tuplets([{ onset: 0, ...t }], 0, unit))).toEqual([]);
    expect(checkPhrase(tuplets([{ onset: 0, ...t }], unit, t.duration + 315))).toEqual([]);
  });

  it.each([
    ['ratio', { actual: 5, normal: 2, duration: 10_080 }, '5 in the time of 2'],
    ['ratio', { actual: 11, normal: 8, duration: 10_080 }, '11 in the time of 8'],
    ['unit', { actual: 4, normal: 3, duration: 1_890 }, 'cannot fill 1890 ticks'],
    ['dotted unit', { actual: 3, normal: 2, duration: 15_120 }, 'cannot fill 15120 ticks'],
    ['too short a unit', { actual: 9, normal: 8, duration: 1_260 }, 'cannot fill 1260 ticks'],
    ['no unit', { actual: 3, normal: 2, duration: 0 }, 'cannot fill 0 ticks'],
  ] as const)('have a %s in use', (_, t, says) => {
    const p = tuplets([{ ...(t as typeof triplet), onset: 5_040 }]);
    expectProblem(p, { pointer: '/voices/0/tuplets/0', bar: 1, beat: 1.5, says });
  });

  it('start on the grid', () => {
    const p = tuplets([{ ...triplet, onset: 10_185 }]);
    const at = { pointer: '/voices/0/tuplets/0', bar: 1, beat: 2 + 105 / 10_080 };
    expectProblem(p, { ...at, says: 'off the grid' });
  });

  it('do not overlap or descend', () => {
    const p = tuplets([triplet, { ...triplet, onset: 15_120 }]);
    const at = { pointer: '/voices/0/tuplets/1', bar: 1 };
    expectProblem(p, { ...at, beat: 2.5, says: 'before the one before it' });
    expectProblem(tuplets([triplet, { ...triplet, onset: 0 }]), {
      ...at,
      beat: 1,
      says: 'before the one before it',
    });
  });

  it('stay in one bar', () => {
    const p = tuplets([{ ...triplet, onset: 35_280 }]);
    const at = { pointer: '/voices/0/tuplets/0', bar: 1, beat: 4.5 };
    expectProblem(p, { ...at, says: 'over the end of its bar' });
  });

  it('stay in a bar that the phrase cuts short', () => {
    const p = { ...tuplets([{ ...triplet, onset: 40_320 }]), length: 45_360 };
    const at = { pointer: '/voices/0/tuplets/0', bar: 2, beat: 1 };
    expectProblem(p, { ...at, says: 'over the end of its bar' });
  });

  it('are not left at a place that is not theirs (T1)', () => {
    const p = tuplets([triplet], 10_080 + 315, 20_160);
    const at = { pointer: '/voices/0/events/0/onset', bar: 1, beat: 2.03125 };
    expectProblem(p, { ...at, says: 'tick 10395' });
    const end = tuplets([triplet], 10_080, 10_080 + 315);
    expectProblem(end, {
      pointer: '/voices/0/events/0/duration',
      bar: 1,
      beat: 2,
      says: 'tick 10395',
    });
    // Outside the tuplet a third of a beat is no place either.
    expectProblem(tuplets([triplet], 3_360, 10_080), {
      pointer: '/voices/0/events/0/onset',
      bar: 1,
      beat: 1 + 1 / 3,
      says: 'tick 3360',
    });
  });
});

describe('a phrase with many faults', () => {
  it('lists a hundred and counts the rest', () => {
    const many = build('s 1/5 '.repeat(64).concat('s 1/7 '.repeat(64)), {});
    const events = many.voices[0].events.map((e) => ({ ...e, staccato: true as const }));
    const wrong = events.map((e) => ({
      ...e,
      notes: [{ ...e.notes[0], fret: 30 }] as const,
    }));
    const found = checkPhrase({ ...many, voices: [{ events: wrong, tuplets: [] }] });
    expect(found).toHaveLength(MAX_PROBLEMS + 1);
    expect(found.at(-1)?.message).toBe('28 more problems are not listed');
  });
});
