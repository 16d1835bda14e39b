import { describe, expect, it } from 'vitest';
import type { Phrase } from '../../../src/core/phrase/types';
import { inkPhrase } from '../../../src/engrave/engrave';
import { engraveTogether } from '../../../src/engrave/together';
import { build } from '../../support/build';
import { readSamples } from '../../support/samples';

const WIDTHS = [340, 800];

/** Lines of the two phrases as tables of places. */
function linesOf(upper: Phrase, lower: Phrase, width: number) {
  return engraveTogether([
    { phrase: upper, options: { width } },
    { phrase: lower, options: { width } },
  ]);
}

describe('phrases under each other', () => {
  it('sets a phrase under itself exactly as it stands alone', () => {
    for (const { name, phrase } of readSamples()) {
      for (const width of WIDTHS) {
        const alone = inkPhrase(phrase, { width }).map((s) => s.svg);
        const both = linesOf(phrase, phrase, width);
        expect(
          both.map((l) => l[0]?.svg),
          name,
        ).toEqual(alone);
        expect(
          both.map((l) => l[1]?.svg),
          name,
        ).toEqual(alone);
      }
    }
  });

  it('gives bars and equal moments one x, whatever the rhythms, signatures and chords', () => {
    const upper = build('q 3/5 e 3/7 3/5 h 2/5 | w 3/4', { key: 'C', chords: 'C7 | F7' });
    const lower = build('e3 3/9 3/11 3/9 q 2/9 s 2/8 2/7 2/6 2/5 q 2/4 | h 3/8 3/9', {
      key: 'Gb',
      chords: 'Gb7 B7 Gb7 | B7',
    });
    for (const width of WIDTHS) {
      for (const line of linesOf(upper, lower, width)) {
        const [a, b] = line.map((s) => s!.hits);
        expect(a!.bars.map((x) => [x.number, x.x0, x.x1])).toEqual(
          b!.bars.map((x) => [x.number, x.x0, x.x1]),
        );
        // Middles of heads differ by what hangs on the stem; columns are at one place within a head.
        const xs = new Map(a!.columns.map((c) => [c.onset, c.x]));
        const shared = b!.columns.filter((c) => xs.has(c.onset));
        expect(shared.length).toBeGreaterThan(0);
        for (const c of shared) expect(Math.abs(c.x - xs.get(c.onset)!)).toBeLessThan(3);
      }
    }
  });

  it('leaves the room of a pickup and of further bars empty where a phrase has none', () => {
    const upper = build('q 3/5 | w 3/7', { pickup: 10_080, chords: 'C7 | F7' });
    const lower = build('w 3/7 | w 3/5 | w 3/4', { chords: 'C7 | F7 | C7' });
    const lines = linesOf(upper, lower, 2_000);
    expect(lines).toHaveLength(1);
    const [a, b] = lines[0]!.map((s) => s!.hits.bars);
    expect(a!.map((x) => x.number)).toEqual([0, 1]);
    expect(b!.map((x) => x.number)).toEqual([1, 2, 3]);
    expect(b![0]!.x0).toBe(a![1]!.x0);
    expect(b![0]!.x1).toBe(a![1]!.x1);
  });

  it('has no system where a phrase has no bar in a line', () => {
    const upper = build('w 3/7', { chords: 'C7' });
    const lower = build(Array.from({ length: 8 }, () => 'w 3/5').join(' | '), { chords: 'C7' });
    const lines = linesOf(upper, lower, 340);
    expect(lines.length).toBeGreaterThan(1);
    expect(lines[0]!.every((s) => s !== null)).toBe(true);
    expect(lines.slice(1).every(([a, b]) => a === null && b !== null)).toBe(true);
  });
});
