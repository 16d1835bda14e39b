import { describe, expect, it } from 'vitest';
import { renderPhrase } from '../../../src/sound/render';
import { build } from '../../support/build';

const RATE = 44_100;

/** Strength in decibels of a partial between two moments, under a Hann window. */
function strength(samples: Float32Array, hertz: number, from: number, to: number): number {
  let [re, im] = [0, 0];
  const [begin, end] = [Math.round(from * RATE), Math.round(to * RATE)];
  for (let i = begin; i < end; i++) {
    const window = 0.5 - 0.5 * Math.cos((2 * Math.PI * (i - begin)) / (end - begin));
    const turn = (2 * Math.PI * hertz * i) / RATE;
    re += window * samples[i]! * Math.cos(turn);
    im += window * samples[i]! * Math.sin(turn);
  }
  return 20 * Math.log10(Math.hypot(re, im) / (end - begin));
}

describe('a hammer on a low string', () => {
  it('keeps the lowest partial wherever it meets the movement that is there', () => {
    const hertz = 440 * 2 ** ((43 - 69) / 12);
    // The tempo moves the moment of the hammer through a period of the string.
    const heard = Array.from({ length: 12 }, (_, i) => {
      const beat = 0.5 + i / 12 / hertz;
      const p = build('q 6/0 h 6/3(h)', { tempo: { bpm: 60 / beat, unit: 'quarter' } });
      const samples = renderPhrase(p, { tone: 'clean', tail: 0 });
      return strength(samples, hertz, beat + 0.05, beat + 0.35);
    });
    console.log(heard.map((h) => h.toFixed(1)).join(' '));
    expect(Math.max(...heard) - Math.min(...heard)).toBeLessThan(3);
  });
});
