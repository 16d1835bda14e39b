import { expect, it } from 'vitest';
import { fieldsOf, stillChosen } from '../../../../src/ui/catch/said';
import { readingWords } from '../../../../src/ui/catch/tempo-readings';

it('says how a reading differs', () => {
  const now = { bpm: 87, threes: false };
  expect(readingWords(now, { bpm: 174, threes: false })).toBe('twice as fast');
  expect(readingWords(now, { bpm: 43.5, threes: false })).toBe('half as fast');
  expect(readingWords(now, { bpm: 130.5, threes: false })).toBe('with 131 beats a minute');
  expect(readingWords(now, { bpm: 58, threes: true })).toBe('in three, 58 beats a minute');
  expect(readingWords({ bpm: 58, threes: true }, now)).toBe('in two, 87 beats a minute');
});

it('a rhythm that was chosen is so in the tempo and metre in which it was', () => {
  const meter = { beats: 4, beatType: 4 } as const;
  const fields = { ...fieldsOf({ lane: '', key: '' }), otherwise: [0.5] };
  const found = { bpm: 91.8, bpmFound: true, meter };
  expect(stillChosen(fields, found)).toEqual([0.5]);
  expect(stillChosen({ ...fields, lane: 'C7', tempo: '92' }, found)).toEqual([0.5]);
  expect(stillChosen({ ...fields, tempo: '184' }, found)).toEqual([]);
  expect(stillChosen({ ...fields, meter: '3/4' }, found)).toEqual([]);
  // Whether the same is found that was told before is not known yet.
  expect(stillChosen(fields, { ...found, bpmFound: false })).toEqual([]);
});
