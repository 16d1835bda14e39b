import { describe, expect, it } from 'vitest';
import { STANDARD_GUITAR } from '../../../src/core/phrase/instrument';
import { readingOf, steady } from '../../../src/sound/player/tuner/reading';

describe('the tuner', () => {
  it('finds the string and how far it is off; hertz of the open strings are handbook values', () => {
    // ISO 16, equal temperament: E2 82.41 Hz, A2 110 Hz, E4 329.63 Hz (handbook tables).
    expect(readingOf(82.41, STANDARD_GUITAR)?.string).toBe(6);
    expect(readingOf(82.41, STANDARD_GUITAR)?.cents).toBeCloseTo(0, 0);
    expect(readingOf(110 * 2 ** (20 / 1200), STANDARD_GUITAR)).toMatchObject({ string: 5 });
    expect(readingOf(110 * 2 ** (20 / 1200), STANDARD_GUITAR)?.cents).toBeCloseTo(20, 6);
    expect(readingOf(329.63 / 2 ** (30 / 1200), STANDARD_GUITAR)?.cents).toBeCloseTo(-30, 0);
    expect(readingOf(1000, STANDARD_GUITAR)).toBe(null);
  });

  it('takes the middle one of the last readings of a string', () => {
    const of = (string: number, cents: number) => ({ string, cents });
    expect(steady([])).toBe(null);
    expect(steady([of(6, 1), of(5, 3), of(5, 400), of(5, 2)])).toEqual(of(5, 3));
  });
});
