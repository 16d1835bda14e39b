import { expect, it } from 'vitest';
import { TICKS_PER_QUARTER } from '../../../../../src/core/phrase/types';
import { beatsAlong } from '../../../../../src/ui/frame/recording/beats-along';
import { build } from '../../../../support/build';

const said = (beats: ReturnType<typeof beatsAlong>) =>
  beats.map(({ at, bar, beat }) => `${at.toFixed(2)}: ${bar}.${beat}`);

it('counts the bars and beats of the phrase where they lie in its recording', () => {
  const phrase = build('q 3/5 q 2/5 h 1/5 | w 2/8', { tempo: { bpm: 120, unit: 'quarter' } });
  // The recording has had two bars before.
  const bars = [0.1, 2.1, 4.1, 6.1, 8.1];
  expect(said(beatsAlong(phrase, bars, 4.1, 7))).toEqual([
    '4.10: 1.1',
    '4.60: 1.2',
    '5.10: 1.3',
    '5.60: 1.4',
    '6.10: 2.1',
    '6.60: 2.2',
  ]);
  // The bar line at its end is there, and has no number.
  expect(said(beatsAlong(phrase, bars, 4.1, 12)).slice(7)).toEqual(['7.60: 2.4', '8.10: null.1']);
});

it('counts a pickup from its end', () => {
  const whole = build('w 2/8', { tempo: { bpm: 120, unit: 'quarter' } });
  const phrase = { ...whole, pickup: TICKS_PER_QUARTER };
  expect(said(beatsAlong(phrase, [2.1, 4.1], 1.6, 2.2))).toEqual(['1.60: 0.4', '2.10: 1.1']);
  // Where one bar line alone is known its length is that of the tempo.
  expect(said(beatsAlong(phrase, [2.1], 1.6, 2.2))).toEqual(['1.60: 0.4', '2.10: 1.1']);
});

it('counts dotted beats in metres that have them', () => {
  const phrase = build('q. 3/5 q. 2/5', {
    meter: '6/8',
    tempo: { bpm: 60, unit: 'dotted-quarter' },
  });
  expect(said(beatsAlong(phrase, [0, 2], 0, 1.5))).toEqual(['0.00: 1.1', '1.00: 1.2']);
  expect(beatsAlong(phrase, [], 0, 1.5)).toEqual([]);
});
