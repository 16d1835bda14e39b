import { describe, expect, it } from 'vitest';
import { Listener } from '../../../../src/sound/capture/listen';
import { soundRemarks } from '../../../../src/sound/capture/sound-remarks';
import { renderPhrase } from '../../../../src/sound/render';
import { build } from '../../../support/build';
import { captureWeights } from '../../../support/capture-model';

const wave = (size: number) =>
  Float32Array.from({ length: 24_000 }, (_, i) =>
    Math.max(-1, Math.min(1, size * Math.sin((2 * Math.PI * 220 * i) / 48_000))),
  );

describe('what is said of a sound', () => {
  it('is said of silence, of what is too soft and of what is cut off, and of nothing else', () => {
    expect(soundRemarks(wave(0))[0]).toMatch(/silent/u);
    expect(soundRemarks(wave(0.001))[0]).toMatch(/very soft/u);
    expect(soundRemarks(wave(3))[0]).toMatch(/too loud/u);
    expect(soundRemarks(wave(0.5))).toEqual([]);
    expect(soundRemarks(wave(0.95))).toEqual([]);
  });

  it('is the same at 44.1 and 48 kHz: the same notes at the same time', () => {
    const p = build('e 3/5 e 2/5 q 1/5', { tempo: { bpm: 120, unit: 'quarter' } });
    const listener = new Listener(captureWeights());
    const [a, b] = [44_100, 48_000].map(
      (rate) => listener.hear(renderPhrase(p, { rate, tail: 0.3 }), rate).notes,
    );
    expect(a!.map((n) => Math.round(n.pitch))).toEqual([60, 64, 69]);
    expect(b!.map((n) => Math.round(n.pitch))).toEqual([60, 64, 69]);
    a!.forEach((n, i) => {
      expect(Math.abs(n.onset - b![i]!.onset)).toBeLessThan(0.006);
    });
  });
});
