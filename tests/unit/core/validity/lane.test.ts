import { describe, expect, it } from 'vitest';
import type { ChordSymbol, Mark, Phrase } from '../../../../src/core/phrase/types';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { expectProblem } from '../../../support/broken';
import { build } from '../../../support/build';

const line = build('q 5/7 e 4/5 4/7 | q. 3/5 e 3/7 q 2/5 2/8', { pickup: 20_160 });

function lane(...chords: readonly (readonly [number, string | null])[]): Phrase {
  return {
    ...line,
    chords: chords.map(([onset, symbol]) => ({ onset, symbol: symbol as ChordSymbol | null })),
  };
}

describe('the chord lane', () => {
  it('may be empty, begin late, share a bar by three, and hold N.C.', () => {
    expect(checkPhrase(lane())).toEqual([]);
    expect(checkPhrase(lane([20_160, 'G7'], [33_600, null], [47_040, 'Bbmaj7/D']))).toEqual([]);
  });

  it('ascends', () => {
    const p = lane([20_160, 'G7'], [20_160, 'C7']);
    expectProblem(p, { pointer: '/chords/1/onset', bar: 1, beat: 1, says: 'at or before' });
  });

  it.each([
    [60_480, 1, 5],
    [-315, 0, 3 - 1 / 32],
  ])('stays in the phrase: not %d', (onset, bar, beat) => {
    const p = lane([onset, 'G7']);
    expectProblem(p, {
      pointer: '/chords/0/onset',
      bar,
      beat,
      says: 'outside the phrase of 60480',
    });
  });

  it('stands where a note value could (T1)', () => {
    const p = lane([20_161, 'G7']);
    const at = { pointer: '/chords/0/onset', bar: 1, beat: 1 + 1 / 10_080 };
    expectProblem(p, { ...at, says: 'tick 20161' });
  });

  it.each([
    ['Gm7b5', 'G half-diminished'],
    ['Fmaj7', 'FM7'],
    ['C', 'Cmaj'],
    ['Bb7b9', 'Bb7(b9)'],
  ])('writes %s in one way only, not as %s', (canonical, other) => {
    expect(checkPhrase(lane([20_160, canonical]))).toEqual([]);
    const [problem, ...rest] = checkPhrase(lane([20_160, other]));
    expect(rest).toEqual([]);
    expect(problem).toMatchObject({ pointer: '/chords/0/symbol', bar: 1, beat: 1 });
  });

  it('says which spelling is due', () => {
    expect(checkPhrase(lane([20_160, 'FM7']))[0]?.fix).toBe("Write 'Fmaj7'.");
  });

  it.each(['H7', '', 'G7/', 'NC'])("refuses '%s'", (symbol) => {
    const found = checkPhrase(lane([20_160, symbol]));
    expect(found).toMatchObject([{ pointer: '/chords/0/symbol', bar: 1, beat: 1 }]);
  });
});

describe('marks', () => {
  const marks = (...list: readonly Mark[]): Phrase => ({ ...line, marks: list });
  const loud = (onset: number): Mark => ({ kind: 'dynamic', onset, value: 'f' });
  const words = (onset: number): Mark => ({ kind: 'words', onset, text: 'slowly' });

  it('may share a place', () => {
    expect(checkPhrase(marks(loud(0), words(0), words(0), loud(5_040)))).toEqual([]);
  });

  it('ascend', () => {
    const p = marks(words(20_160), loud(5_040));
    expectProblem(p, {
      pointer: '/marks/1/onset',
      bar: 0,
      beat: 3.5,
      says: 'before the one before it',
    });
  });

  it('have one dynamic at a place', () => {
    const p = marks(loud(5_040), words(5_040), loud(5_040));
    expectProblem(p, { pointer: '/marks/2/onset', bar: 0, beat: 3.5, says: 'two dynamics' });
  });

  it('stay in the phrase', () => {
    expectProblem(marks(words(60_480)), {
      pointer: '/marks/0/onset',
      bar: 1,
      beat: 5,
      says: 'outside the phrase',
    });
  });
});
