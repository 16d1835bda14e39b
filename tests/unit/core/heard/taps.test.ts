import { describe, expect, it } from 'vitest';
import { tapped, tempoOfTaps } from '../../../../src/core/heard/taps';

const row = (times: readonly number[]) =>
  times.reduce((taps: readonly number[], t) => tapped(taps, t), []);

describe('the tempo of taps', () => {
  it('is that of even taps, and evens out a hand that is off', () => {
    expect(tempoOfTaps(row([0, 500, 1000, 1500]))).toBe(120);
    const loose = [0, 510, 985, 1512, 1990, 2507, 3001, 3490];
    expect(Math.abs(tempoOfTaps(row(loose))! - 120)).toBeLessThan(0.6);
  });

  it('says nothing of two taps, begins anew after a pause and passes over a bounce', () => {
    expect(tempoOfTaps(row([0, 500]))).toBeNull();
    expect(row([0, 500, 5000])).toEqual([5000]);
    expect(row([0, 500, 530, 1000])).toEqual([0, 500, 1000]);
  });

  it('goes by the last nine', () => {
    const slow = Array.from({ length: 6 }, (_, i) => 1000 * i);
    const fast = Array.from({ length: 9 }, (_, i) => 5400 + 400 * i);
    expect(tempoOfTaps(row([...slow, ...fast]))).toBe(150);
  });
});
