import { PitchDetector } from 'pitchy';
import { describe, expect, it } from 'vitest';
import { centsAt } from '../../../src/core/sound/curve';
import { perform } from '../../../src/core/sound/perform';
import type { ToneName } from '../../../src/core/sound/tone';
import { renderPhrase } from '../../../src/sound/render';
import { build } from '../../support/build';

/** An independent pitch tracker: pitchy 4.1.0 (McLeod's method), windows of 46 ms every 10 ms. */
const RATE = 44_100;
const WINDOW = 2048;
const HOP = 441;

interface Heard {
  /** Seconds from the beginning, in the middle of the window. */
  readonly at: number;
  readonly midi: number;
}

function listen(samples: Float32Array): readonly Heard[] {
  const detector = PitchDetector.forFloat32Array(WINDOW);
  const heard: Heard[] = [];
  for (let o = 0; o + WINDOW <= samples.length; o += HOP) {
    const [hertz] = detector.findPitch(samples.subarray(o, o + WINDOW), RATE);
    heard.push({ at: (o + WINDOW / 2) / RATE, midi: 69 + 12 * Math.log2(hertz / 440) });
  }
  return heard;
}

/** Cents by which what is heard differs from what is written, between the edges of each sound. */
function errors(text: string, tone: ToneName, edge = 0.06): readonly number[] {
  const p = build(text, { tempo: { bpm: 90, unit: 'quarter' } });
  const { sounds } = perform(p);
  return listen(renderPhrase(p, { tone, tail: 0 })).flatMap(({ at, midi }) => {
    const s = sounds.find((x) => at > x.onset + edge && at < x.onset + x.length - edge);
    return s === undefined ? [] : [Math.abs(100 * (midi - s.midi) - centsAt(s, at - s.onset))];
  });
}

const median = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[values.length >> 1]!;
const share = (values: readonly number[], q: number) =>
  [...values].sort((a, b) => a - b)[Math.floor(q * (values.length - 1))]!;

const peakOf = (x: Float32Array) => x.reduce((most, v) => Math.max(most, Math.abs(v)), 0);

const PLACES = ['6/0', '6/1', '6/12', '5/3', '4/7', '3/5', '2/8', '1/0', '1/12', '1/20'];

describe('what is heard is what is written', () => {
  for (const tone of ['clean', 'steel', 'nylon'] as const) {
    it(`holds the pitch at low, middle and high frets: ${tone}`, () => {
      for (const place of PLACES) {
        const off = errors(`h ${place}`, tone);
        expect(off.length).toBeGreaterThan(80);
        expect(median(off)).toBeLessThan(0.5);
        expect(Math.max(...off)).toBeLessThan(3);
      }
    });
  }

  it('follows bends, releases, vibrato, slides and harmonics', () => {
    const moving = [
      'h 3/5(bend:D4)',
      'h 2/8(bend:A4)',
      'w 3/5(rel:D4)',
      'h 3/5(pre:D4)',
      'h 1/12(curl)',
      'h 3/5(vib)',
      'q 3/5 3/9(s)',
      'q 3/10(in:-1)',
      'h 3/12(nat:12)',
      'h 3/5(art:12)',
    ];
    for (const text of moving) {
      const off = errors(text, 'clean');
      expect(off.length, text).toBeGreaterThan(30);
      expect(median(off), text).toBeLessThan(2);
      expect(share(off, 0.95), text).toBeLessThan(5);
    }
  });

  it('keeps both strings of an unequal double-stop bend, each measured alone', () => {
    for (const text of ['h 3/5(bend:D4)', 'h 2/5(bend:F4)']) {
      expect(median(errors(text, 'clean'))).toBeLessThan(1);
    }
  });
});

describe('what comes out of the strings', () => {
  it('is the same each time, within full scale and at rest after the end', () => {
    const p = build('q 6/0+5/2+4/2+3/1+2/0+1/0@sdown,acc q - h -', {
      tempo: { bpm: 90, unit: 'quarter' },
    });
    const once = renderPhrase(p, { tone: 'driven' });
    // Byte by byte: comparing as values takes seconds.
    const bytes = (x: Float32Array) => Buffer.from(x.buffer);
    expect(bytes(renderPhrase(p, { tone: 'driven' })).equals(bytes(once))).toBe(true);
    expect(peakOf(once)).toBeLessThanOrEqual(1);
    expect(peakOf(once.slice(-4410))).toBeLessThan(0.001);
  });
});
