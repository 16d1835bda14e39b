import { describe, expect, it } from 'vitest';
import { BREATH, barsToCutBefore, cutPhrase } from '../../../../src/core/edit/cut';
import { TICKS_PER_QUARTER } from '../../../../src/core/phrase/types';
import { heardPitch, notesOf } from '../../../../src/core/phrase/walk';
import { midiOf } from '../../../../src/core/theory/pitch';
import { checkPhrase } from '../../../../src/core/validity/check-phrase';
import { build } from '../../../support/build';
import { seededPhrase } from '../../../support/generate/phrase';
import { readSamples } from '../../../support/samples';

const identity = (n: number) => ({ id: `part-${n}`, now: '2026-11-27T00:00:00Z' });

describe('a long piece', () => {
  it('is cut where it breathes, with its chords, and late beginnings are pickups', () => {
    const piece = build(
      'q 3/5 3/7 2/5 - | h - q 2/8 1/5 | q 1/8 1/5 2/8 - | q - - - 3/7 | q 3/5 3/7 2/5 -',
      { title: 'Long Pier', chords: 'C7 | F7 | C7 | G7 | C7' },
    );
    const parts = cutPhrase(piece, BREATH, identity);
    expect(parts.map((p) => [p.meta.title, p.bars.length, p.pickup / TICKS_PER_QUARTER])).toEqual([
      ['Long Pier 1', 1, 0],
      ['Long Pier 2', 1, 2],
      ['Long Pier 3', 1, 1],
    ]);
    expect(parts.map((p) => p.chords.map((c) => c.symbol))).toEqual([
      ['C7'],
      ['F7', 'C7'],
      ['G7', 'C7'],
    ]);
    expect(parts.flatMap(checkPhrase)).toEqual([]);
  });

  it('is cut behind every two bars', () => {
    const piece = build('q 3/5 3/7 2/5 2/8 | w 1/5 | w 1/8 | h 1/5 2/8 | w 2/5', { title: '' });
    const parts = cutPhrase(piece, { kind: 'bars', bars: 2 }, identity);
    expect(parts.map((p) => [p.meta.title, p.bars.length])).toEqual([
      ['Part 1', 2],
      ['Part 2', 2],
      ['Part 3', 1],
    ]);
  });

  it('is cut before bars that somebody chose, who may begin with what rests say', () => {
    const piece = build('q 3/5 3/7 2/5 2/8 | q 1/5 - - - | q 1/8 1/5 2/8 - | h 1/5 2/8 | w 2/5');
    const bars = barsToCutBefore(piece, BREATH);
    expect(bars).toEqual([3, 4]);
    const byHand = cutPhrase(piece, { kind: 'before', bars }, identity);
    expect(byHand.map((p) => p.bars.length)).toEqual([2, 1, 2]);
    expect(cutPhrase(piece, { kind: 'before', bars: [] }, identity)).toEqual([piece]);
  });

  it('loses no note, keeps every pitch, and every part is right', () => {
    const pieces = [
      ...readSamples().map((s) => s.phrase),
      ...Array.from({ length: 8 }, (_, i) => seededPhrase(i)),
    ];
    const heard = (ps: readonly (typeof pieces)[number][]) =>
      ps.flatMap((p) =>
        notesOf(p).map(({ note }) => [
          note.id,
          note.kind === 'dead' ? null : midiOf(heardPitch(note)),
        ]),
      );
    const sorted = (x: ReturnType<typeof heard>) => x.map(String).sort();
    let several = 0;
    for (const piece of pieces) {
      const byHand = { kind: 'before', bars: [2, 4, 5, 99] } as const;
      for (const way of [BREATH, { kind: 'bars', bars: 1 } as const, byHand]) {
        const parts = cutPhrase(piece, way, identity);
        several += Number(parts.length > 1);
        expect(sorted(heard(parts))).toEqual(sorted(heard([piece])));
        for (const p of parts) expect(checkPhrase(p), p.meta.title).toEqual([]);
      }
    }
    expect(several).toBeGreaterThan(15);
  });
});
