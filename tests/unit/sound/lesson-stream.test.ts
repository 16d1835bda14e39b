import { describe, expect, it } from 'vitest';
import { barSpans } from '../../../src/core/phrase/time';
import { Stream, type Way } from '../../../src/lesson-page/stream';
import { readSamples } from '../../support/samples';

const RATE = 8_000;
const PLAIN: Way = { speed: 100, loops: false, clicks: false, countsIn: false, stretch: null };

describe('what a lesson page plays', () => {
  const { phrase } = readSamples().find((s) => s.phrase.meta.title === 'Twelve at the Salt Loft')!;
  const bars = barSpans(phrase).filter((b) => b.number === 2 || b.number === 3);
  const stretch = { from: bars[0]!.start, to: bars[1]!.end, fills: 'bar' } as const;
  const seconds = (60 / phrase.tempo.bpm) * 8;

  it('is some bars alone, once or over and over', () => {
    const once = new Stream(phrase, phrase, { ...PLAIN, stretch }, RATE);
    // Two bars of four quarters, and two seconds in which they ring on.
    expect(once.length).toBeCloseTo((seconds + 2) * RATE, -1);
    const loop = new Stream(phrase, null, { ...PLAIN, stretch, loops: true, countsIn: true }, RATE);
    const ticks = Array.from({ length: 400 }, (_, i) => loop.tickAt(i * 1_000)).filter(
      (t) => t !== null,
    );
    expect(Math.min(...ticks)).toBeGreaterThanOrEqual(stretch.from);
    expect(Math.max(...ticks)).toBeLessThanOrEqual(stretch.to);
    // Half the speed takes twice the time.
    const slow = new Stream(phrase, null, { ...PLAIN, stretch, speed: 50 }, RATE);
    expect(slow.length).toBeCloseTo((2 * seconds + 2) * RATE, -1);
  });

  it('sounds', () => {
    const stream = new Stream(phrase, null, { ...PLAIN, stretch }, RATE);
    let loudest = 0;
    for (let piece = stream.piece(); piece !== null; piece = stream.piece()) {
      for (const x of piece) loudest = Math.max(loudest, Math.abs(x));
    }
    expect(loudest).toBeGreaterThan(0.01);
  });
});
