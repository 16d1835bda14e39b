import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PlayedTo } from '../../../../src/core/heard/clock';
import {
  lastPhrase,
  lastRound,
  longRest,
  struckIn,
  struckWithin,
} from '../../../../src/core/heard/span';
import type { Heard, HeardNote } from '../../../../src/core/heard/types';

function note(onset: number, end: number, confidence = 0.9): HeardNote {
  const still = { pitch: 60, start: 60, curve: [], attack: 'pluck', muted: false } as const;
  return { ...still, onset, end, confidence };
}

const heard = (seconds: number, ...notes: HeardNote[]): Heard => ({ notes, dead: [], seconds });

describe('the last whole round', () => {
  const to: PlayedTo = { bpm: 120, round: 8, begin: 3, measured: true };

  it.each([
    [10.9, null],
    [11, { from: 3, to: 11 }],
    [18.9, { from: 3, to: 11 }],
    [19.1, { from: 11, to: 19 }],
  ])('at %d s', (until, round) => expect(lastRound(to, until)).toEqual(round));

  it('is none whose beginning is not remembered', () => {
    expect(lastRound({ ...to, begin: -1 }, 14)).toBeNull();
    expect(lastRound({ ...to, begin: -1 }, 15)).toEqual({ from: 7, to: 15 });
  });

  it('ends no later than now, and less than a round ago', () => {
    const seconds = fc.double({ min: -200, max: 200, noNaN: true });
    const length = fc.double({ min: 1, max: 100, noNaN: true });
    fc.assert(
      fc.property(seconds, length, seconds, (begin, round, until) => {
        const found = lastRound({ bpm: 100, round, begin, measured: true }, until);
        if (found === null) return;
        expect(found.to - found.from).toBeCloseTo(round, 6);
        expect(found.from).toBeGreaterThan(-1e-5);
        expect(found.to).toBeLessThan(until + 1e-3);
        expect(until - found.to).toBeLessThan(round + 1e-3);
        const rounds = (found.from - begin) / round;
        expect(Math.abs(rounds - Math.round(rounds))).toBeLessThan(1e-6);
      }),
    );
  });

  it('has what is struck a little before its first beat, and not what is before the next one', () => {
    const round = { from: 3, to: 11 };
    const all = heard(20, note(2.8, 3), note(2.95, 3.2), note(10.8, 11), note(10.95, 11.5));
    const onsets = all.notes.map((n) => n.onset);
    const own = struckWithin(all, struckIn(round, onsets, to));
    expect(own.notes.map((n) => n.onset)).toEqual([2.95, 10.8]);
  });

  it('goes with a delay that nobody measured', () => {
    const late = [3.12, 3.62, 4.12, 4.62, 5.12, 10.62, 11.12];
    const { from, to: end } = struckIn({ from: 3, to: 11 }, late, { ...to, measured: false });
    expect(from).toBeCloseTo(3.02, 1);
    expect(late.filter((o) => o >= from && o < end)).toEqual(late.slice(0, -1));
  });
});

describe('the last phrase', () => {
  it('is what was played since the last long rest, and no silence after it is one', () => {
    const all = heard(30, note(2, 3), note(8, 9), note(9.2, 10), note(10.5, 11));
    expect(lastPhrase(all, 1)).toEqual({
      span: { from: 8, to: 11 },
      before: 5,
      after: 19,
      whole: true,
    });
  });

  it('does not end under a note that is held', () => {
    const all = heard(30, note(2, 9), note(3, 4), note(8, 8.5), note(9.5, 10));
    expect(lastPhrase(all, 1)?.span).toEqual({ from: 2, to: 10 });
  });

  it('passes over the noise of a hand on its way to the key', () => {
    const all = heard(12, note(4, 5), note(5, 6), note(9, 9.1, 0.4));
    expect(lastPhrase(all, 1)).toMatchObject({ span: { from: 4, to: 6 }, after: 3 });
    expect(lastPhrase(heard(12, note(9, 9.1, 0.4)), 1)).toBeNull();
    expect(lastPhrase(heard(12), 1)).toBeNull();
  });

  it('says where it may have begun before', () => {
    expect(lastPhrase(heard(5, note(0.2, 1), note(1, 2)), 1)?.whole).toBe(false);
  });

  it('is all that has no rest in it, whatever else was played', () => {
    const gaps = fc.array(
      fc.record({
        rest: fc.double({ min: 0, max: 3, noNaN: true }),
        long: fc.double({ min: 0.05, max: 2, noNaN: true }),
      }),
      { minLength: 1, maxLength: 12 },
    );
    fc.assert(
      fc.property(gaps, (all) => {
        let at = 0;
        const notes = all.map(({ rest, long }) => {
          at += rest + long;
          return note(at - long, at);
        });
        const first = all.reduce((last, { rest }, i) => (rest >= 1 ? i : last), 0);
        // A rest that rounding makes longer or shorter than itself tells nothing.
        if (all.some(({ rest }) => Math.abs(rest - 1) < 1e-6)) return;
        const found = lastPhrase(heard(at + 2, ...notes), 1);
        expect(found?.span).toEqual({ from: notes[first]!.onset, to: at });
      }),
    );
  });

  it('has a rest of about two beats before it, where the beat is known', () => {
    expect(longRest(60)).toBeCloseTo(1.8, 6);
    expect(longRest(240)).toBeCloseTo(0.45, 6);
    expect(longRest(undefined)).toBe(1);
  });
});
