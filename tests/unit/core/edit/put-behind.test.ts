import { describe, expect, it } from 'vitest';
import { putBehind, putInBar } from '../../../../src/core/edit/put-behind';
import { barSpans } from '../../../../src/core/phrase/time';
import type { ChordSymbol } from '../../../../src/core/phrase/types';
import { notesOf } from '../../../../src/core/phrase/walk';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { seededPhrase } from '../../../support/arbitrary';
import { build } from '../../../support/build';

describe('a clip put behind a phrase', () => {
  it('stands in a bar of its own under its chord', () => {
    const p = build('q 3/5 3/7', { chords: 'C7', key: 'C' });
    const put = putBehind(p, build('h 2/6+3/7', { chords: 'F7' }), 'F7' as ChordSymbol);
    if (!put.ok) throw new Error(put.problems[0]!.message);
    const q = put.value;
    expect(q.bars).toHaveLength(2);
    expect(q.chords.map((c) => [c.onset, c.symbol])).toEqual([
      [0, 'C7'],
      [40_320, 'F7'],
    ]);
    expect(notesOf(q).map(({ note, onset }) => [onset, note.string, note.fret])).toEqual([
      [0, 3, 5],
      [10_080, 3, 7],
      [40_320, 2, 6],
      [40_320, 3, 7],
    ]);
  });

  it('leaves what was there as it is, whatever that was', () => {
    const clip = build('h 2/6+3/7', { chords: 'F7' });
    for (let seed = 1; seed <= 60; seed++) {
      const p = seededPhrase(seed, {});
      const put = putBehind(p, clip, 'F7' as ChordSymbol);
      if (!put.ok) continue;
      expect(checkPhrase(put.value)).toEqual([]);
      const before = notesOf(p).map(({ note, onset }) => [onset, note]);
      const after = notesOf(put.value).map(({ note, onset }) => [onset, note]);
      expect(after.slice(0, before.length)).toEqual(before);
      expect(after.length).toBe(before.length + 2);
    }
  });
});

describe('a clip put into a bar', () => {
  const clip = build('h 2/6+3/7', { chords: 'F7' });

  it('takes the place of what is there for as long as it sounds, under the chord that is there', () => {
    const p = build('q 3/5 3/7 3/5 2/5 q 1/3 1/5 1/6 1/8', { chords: 'C7 | G7', key: 'C' });
    const put = putInBar(p, clip, 2);
    if (!put.ok) throw new Error(put.problems[0]!.message);
    expect(put.value.chords).toEqual(p.chords);
    expect(put.value.bars).toHaveLength(2);
    const after = notesOf(put.value).map(({ note, onset }) => [onset, note.string, note.fret]);
    expect(after.slice(4)).toEqual([
      [40_320, 2, 6],
      [40_320, 3, 7],
      [60_480, 1, 6],
      [70_560, 1, 8],
    ]);
    expect(putInBar(p, clip, 3).ok).toBe(false);
  });

  it('leaves all other bars as they are, whatever they are', () => {
    let [put, short] = [0, 0];
    for (let seed = 1; seed <= 40; seed++) {
      const p = seededPhrase(seed, {});
      for (const { number, start, end } of barSpans(p).slice(0, -1)) {
        const made = putInBar(p, clip, number);
        if (!made.ok) continue;
        put++;
        short += end - start < 20_160 ? 1 : 0;
        expect(checkPhrase(made.value)).toEqual([]);
        const later = (q: typeof p) =>
          notesOf(q)
            .filter(({ onset }) => onset >= end)
            .map((n) => [n.onset, n.note.string]);
        expect(later(made.value)).toEqual(later(p));
      }
    }
    expect(put).toBeGreaterThan(20);
    // Pickups and bars that are shorter than the clip.
    expect(short).toBeGreaterThan(0);
  });
});
