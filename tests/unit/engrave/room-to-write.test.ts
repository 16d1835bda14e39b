import { describe, expect, it } from 'vitest';
import { withAnswer } from '../../../src/core/lesson/sheets';
import { engrave } from '../../../src/engrave/engraver';
import { build } from '../../support/build';
import { readSamples } from '../../support/samples';

/** Width of all sounding and of all empty bars, each for a tick of them. */
function widths(p: ReturnType<typeof build>, width: number, writtenIn: boolean) {
  const body = p.length - p.pickup;
  const asked = withAnswer(p);
  const bars = engrave(asked, { width, writtenIn }).systems.flatMap((s) => s.hits.bars);
  const room = (part: typeof bars) =>
    part.reduce((n, b) => n + b.x1 - b.x0, 0) / part.reduce((n, b) => n + b.end - b.start, 0);
  const from = asked.length - body;
  return [room(bars.filter((b) => b.end <= from)), room(bars.filter((b) => b.start >= from))];
}

describe('bars that are written in by hand', () => {
  const phrase = build('e 4/5 4/7 3/5 3/7 2/5 2/8 1/5 1/7 | e 4/5 4/7 3/5 3/7 2/5 2/8 1/5 1/7', {
    chords: 'A7 | D7',
    key: 'A blues',
  });

  it('are as wide as those that they answer, and elsewhere stay narrow', () => {
    // One line holds all.
    const [full, empty] = widths(phrase, 2000, true);
    expect(empty! / full!).toBeGreaterThan(0.95);
    expect(empty! / full!).toBeLessThan(1.1);
    const [as, narrow] = widths(phrase, 2000, false);
    expect(narrow! / as!).toBeLessThan(0.6);
  });

  it('have room on paper for every sample, and no line is wider than the paper', () => {
    for (const { phrase: p } of readSamples()) {
      const [full, empty] = widths(p, 660, true);
      // Lines are filled, so that one with fewer bars has wider ones.
      expect(empty! / full!, p.meta.title).toBeGreaterThan(0.7);
      for (const s of engrave(withAnswer(p), { width: 660, writtenIn: true }).systems) {
        expect(s.width).toBeLessThanOrEqual(660.01);
      }
    }
  });

  it('are as they were where nothing sounds', () => {
    const silent = { ...phrase, voices: [{ ...phrase.voices[0], events: [] }] as const };
    expect(engrave(silent, { width: 660, writtenIn: true })).toEqual(
      engrave(silent, { width: 660 }),
    );
  });
});
