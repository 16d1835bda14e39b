import { describe, expect, it } from 'vitest';
import type { Heard } from '../../../../src/core/heard/types';
import { Listener } from '../../../../src/sound/capture/listen';
import { RATE } from '../../../../src/sound/capture/network-shape';
import { steadyRemarks } from '../../../../src/sound/capture/steady';
import { renderPhrase } from '../../../../src/sound/render';
import { build } from '../../../support/build';
import { captureWeights } from '../../../support/capture-model';

const listener = new Listener(captureWeights());
const SECONDS = 4;

/** Mains hum: a frequency with what is left of twenty harmonics. The first is twice the mains' (IEC 60038: 50 and 60 Hz). */
const hum = (hz: number, loud: number) =>
  Float32Array.from({ length: SECONDS * RATE }, (_, i) => {
    let v = 0;
    for (let k = 1; k <= 20; k++)
      v += Math.sin((2 * Math.PI * hz * k * i) / RATE + k * k) / k ** 1.2;
    return 0.3 * loud * v;
  });

/** A fan: noise that is mostly low, with the tone of its blades. */
function fan(loud: number): Float32Array {
  let seed = 7;
  let low = 0;
  return Float32Array.from({ length: SECONDS * RATE }, (_, i) => {
    seed = (Math.imul(seed, 1_664_525) + 1_013_904_223) >>> 0;
    low = 0.97 * low + (2 * seed) / 2 ** 32 - 1;
    return loud * (0.06 * low + 0.4 * Math.sin((2 * Math.PI * 147 * i) / RATE));
  });
}

const pitches = ({ notes }: Heard) => notes.map((n) => Math.round(n.pitch));

describe('a tone that never gets softer', () => {
  it.each([
    ['hum of 50 Hz', (loud: number) => hum(50, loud), null],
    ['hum of 100 Hz', (loud: number) => hum(100, loud), /about 100 Hz/u],
    ['hum of 120 Hz', (loud: number) => hum(120, loud), /about 120 Hz/u],
    ['a fan', fan, /about 147 Hz/u],
  ])('is no note and is said: %s, loud and softer', (_, of, said) => {
    for (const loud of [0.5, 0.1]) {
      const heard = listener.hear(of(loud), RATE);
      expect(pitches(heard)).toEqual([]);
      if (said !== null) expect(steadyRemarks(heard).join()).toMatch(said);
    }
  });

  it('leaves what is played over it, and soft notes, and a note that rings for seconds', () => {
    const p = build('q 3/5 e 2/5 e 1/5 w 2/8', { tempo: { bpm: 90, unit: 'quarter' } });
    const played = renderPhrase(p, { rate: RATE, tail: 0.3 });
    for (const [under, soft] of [
      [hum(100, 0.05), 0.3],
      [hum(100, 0), 0.02],
    ] as const) {
      const mixed = under.map((v, i) => v + soft * (played[i] ?? 0));
      const heard = listener.hear(mixed, RATE);
      expect(pitches(heard)).toEqual([60, 64, 69, 67]);
      expect(heard.steady ?? []).toEqual(under[5] === 0 ? [] : [100]);
    }
  });
});
