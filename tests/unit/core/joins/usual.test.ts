import { expect, it } from 'vitest';
import {
  EIGHTHS,
  eighthOfBar,
  REST_BINS,
  RESTS,
  restScore,
  STARTS,
  startScore,
  usualWords,
} from '../../../../src/core/joins/usual';
import type { Meter } from '../../../../src/core/phrase/types';
import { describeWithRef, readTsv } from '../../../support/refs';

const four: Meter = { beats: 4, beatType: 4 };
const QUARTER = 10_080;

// Weimar Jazz Database (205 solos; see `weights.ts`), counted with its tables.
describeWithRef('starts and rests of recorded solos', 'data/wjazzd/stats.tsv', (text) => {
  it('are the figures that were counted', () => {
    const rows = readTsv(text).filter((r) => r.corpus === 'all');
    const shares = (fact: string) =>
      rows.filter((r) => r.fact === fact).map((r) => ({ item: r.item, value: Number(r.value) }));
    expect(shares('phrase starts on')).toEqual(
      EIGHTHS.map((item, i) => ({ item, value: STARTS[i] })),
    );
    const rests = shares('rest between phrases, beats');
    expect(rests.map((r) => r.value)).toEqual(RESTS);
    expect(rests.slice(1).map((r) => Number.parseFloat(r.item!))).toEqual(REST_BINS.slice(1));
  });
});

it('what is a little early is on the beat, and a bar of another number of beats has no places', () => {
  const at = (beats: number, meter: Meter = four) => eighthOfBar(beats * QUARTER, meter);
  expect([0, 0.5, 1, 1.5, 3.5].map((b) => at(b))).toEqual([0, 1, 2, 3, 7]);
  // A pickup on the last eighth of the bar before, and one played a 32nd early.
  expect([at(-0.5), at(3.97), at(-0.03), at(9.5)]).toEqual([7, 0, 0, 3]);
  // Of a triplet the second is still with the beat, the third behind it; 12/8 has the same four beats.
  expect([at(1 / 3), at(2 / 3)]).toEqual([1, 1]);
  expect(at(1.5, { beats: 12, beatType: 8 })).toBe(2);
  expect(at(1, { beats: 3, beatType: 4 })).toBeNull();
  expect(startScore(QUARTER, { beats: 6, beatType: 8 })).toBe(0);
});

it('rests count by how often they are played, and nothing on the average', () => {
  const middles = REST_BINS.map((from, i) => (from + (REST_BINS[i + 1] ?? from + 2)) / 2);
  expect(middles.reduce((sum, b, i) => sum + RESTS[i]! * restScore(b), 0)).toBeCloseTo(0, 9);
  // Longest and shortest are worst, one to two beats best.
  expect(Math.max(...middles.map(restScore))).toBe(restScore(1));
  expect(restScore(0)).toBeLessThan(restScore(0.5));
  expect(restScore(9)).toBeLessThan(restScore(7));
  expect(restScore(-1)).toBe(restScore(0));
});

it('words are said only where it tells', () => {
  const words = (beats: number, rest: number | null) =>
    usualWords({ onset: beats * QUARTER, rest }, four);
  expect(words(0, 2.5)).toEqual([]);
  expect(words(3, 0)).toEqual(['leaves hardly a rest', 'begins where phrases seldom do']);
  expect(words(0.5, 1.5)).toEqual([
    'leaves as long a rest as players like',
    'begins where phrases often do, behind the first beat',
  ]);
  expect(words(0, 7)).toEqual(['leaves a long rest']);
  expect(words(0, null)).toEqual([]);
});
