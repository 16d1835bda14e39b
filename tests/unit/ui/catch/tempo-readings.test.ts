import { expect, it } from 'vitest';
import { readingWords } from '../../../../src/ui/catch/tempo-readings';

it('says how a reading differs', () => {
  const now = { bpm: 87, threes: false };
  expect(readingWords(now, { bpm: 174, threes: false })).toBe('twice as fast');
  expect(readingWords(now, { bpm: 43.5, threes: false })).toBe('half as fast');
  expect(readingWords(now, { bpm: 130.5, threes: false })).toBe('with 131 beats a minute');
  expect(readingWords(now, { bpm: 58, threes: true })).toBe('in three, 58 beats a minute');
  expect(readingWords({ bpm: 58, threes: true }, now)).toBe('in two, 87 beats a minute');
});
