import { describe, expect, it } from 'vitest';
import { barSpans } from '../../../src/core/phrase/time';
import { Stream, type Way } from '../../../src/lesson-page/stream';
import { Engine } from '../../../src/sound/engine';
import { build } from '../../support/build';
import { readSamples } from '../../support/samples';

const RATE = 8_000;
const PLAIN: Way = { speed: 100, loops: false, clicks: false, countsIn: false, stretch: null };

/** Where something begins after so many samples of silence. */
function beginnings(samples: readonly number[], silence: number): readonly number[] {
  const found: number[] = [];
  let last = Number.NEGATIVE_INFINITY;
  for (const [i, x] of samples.entries()) {
    if (Math.abs(x) < 1e-3) continue;
    if (i - last > silence) found.push(i);
    last = i;
  }
  return found;
}

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

  it('clicks on the beats, at every speed, and on those that are counted in', () => {
    const silent = build('h - - | h - -', { id: 'rests' });
    for (const speed of [40, 75, 100, 120]) {
      const way = { ...PLAIN, clicks: true, countsIn: true, speed };
      const stream = new Stream(silent, null, way, RATE);
      const samples: number[] = [];
      for (let piece = stream.piece(); piece !== null; piece = stream.piece()) {
        samples.push(...piece);
      }
      const beat = (RATE * 60 * 100) / (silent.tempo.bpm * speed);
      const heard = beginnings(samples, beat / 2);
      // A bar counted in, and two.
      expect(heard.length, `${speed} %`).toBe(12);
      const away = heard.map((at, i) => Math.abs(at - Engine.LATENCY - i * beat));
      // Within a millisecond.
      expect(Math.max(...away), `${speed} %`).toBeLessThan(RATE / 1_000);
    }
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
