import { describe, expect, it } from 'vitest';
import { featuresOf } from '../../../../src/sound/capture/front-end';
import { plainKernel, SPREAD_WEIGHTS, simdKernel } from '../../../../src/sound/capture/kernel';
import { Listener } from '../../../../src/sound/capture/listen';
import { Network } from '../../../../src/sound/capture/network';
import { BINS, HOP, LOWEST, RATE } from '../../../../src/sound/capture/network-shape';
import { resample } from '../../../../src/sound/capture/resample';
import { captureWeights } from '../../../support/capture-model';

const WEIGHTS = captureWeights();

/** A plucked string of some partials that die away, from a moment on. */
function pluck(out: Float32Array, rate: number, at: number, midi: number, partials = 6): void {
  const hz = 440 * 2 ** ((midi - 69) / 12);
  for (let i = Math.round(at * rate); i < out.length; i++) {
    const t = i / rate - at;
    let v = 0;
    for (let h = 1; h <= partials; h++) {
      v +=
        Math.sin(2 * Math.PI * hz * h * t) *
        (0.2 / h) *
        Math.exp(-t * (1.2 + (4.8 / partials) * h));
    }
    out[i]! += v * Math.min(1, t * 400);
  }
}

describe('capture network', () => {
  it('the two kernels do the same sums', () => {
    const fast = simdKernel(4096)!;
    const plain = plainKernel(4096);
    expect(fast.name).toBe('simd');
    for (const k of [fast, plain]) {
      for (let i = 0; i < 3000; i++) k.memory[256 + i] = Math.sin(i * 1.7) * 2;
      k.multiply(256, 7, 1024, 2048, 20, 6, 5);
      k.product(256, 9, 1024, 2448, 20, 4, 8);
      k.cut(300, 40);
      k.spread(400, 70, 64, 800, 130, 2);
      k.join(800, 130, 2000, 64, 0, 1600, 64, 300, 2);
      k.joinOnto(820, 130, 2100, 0, 0, 2600, 64, 64, 1);
    }
    const far = fast.memory
      .subarray(256, 3256)
      .reduce((most, v, i) => Math.max(most, Math.abs(v - plain.memory[256 + i]!)), 0);
    expect(far).toBeLessThan(1e-5);
    // Not blind: something was computed.
    expect(plain.memory[2048]).not.toBe(Math.fround(Math.sin(1792 * 1.7) * 2));
  });

  it('spread and joined, three taps give what they give one by one', () => {
    const { spread, join, memory: f } = simdKernel(4096)!;
    const [x, v, y] = [256, 1024, 2048];
    for (let i = 0; i < 6 * 64; i++) f[x + i] = Math.sin(i * 1.7) * 2;
    const taps = [0.3, -0.8, 1.1];
    const sums = Array.from({ length: 4 * 64 }, (_, i) =>
      taps.reduce((sum, w, k) => sum + w * f[x + i + k * 64]!, 0.25),
    );
    spread(x, 64, 0, v, 64, 1);
    SPREAD_WEIGHTS.forEach((share, i) => {
      const w = share.reduce((sum, s, k) => sum + s * taps[k]!, 0);
      for (let c = 0; c < 64; c++) f[v + i * 64 + c]! *= w;
    });
    f.fill(0.25, 3000, 3064);
    join(v, 64, 3000, 0, 0, y, 64, 0, 1);
    sums.forEach((sum, i) => {
      expect(f[y + i]).toBeCloseTo(Math.max(0, sum), 4);
    });
    expect(Math.max(...sums)).toBeGreaterThan(1);
  });

  it('says the same without WebAssembly, and in pieces', () => {
    const x = new Float32Array(RATE * 0.8);
    pluck(x, RATE, 0.1, 57);
    pluck(x, RATE, 0.15, 64);
    const far = (a: ArrayLike<number>, b: ArrayLike<number>) =>
      Array.from(a).reduce((most, v, i) => Math.max(most, Math.abs(v - b[i]!)), 0);
    const whole = new Network(WEIGHTS, { chunk: 80 }).run(x);
    const pieces = new Network(WEIGHTS, { chunk: 30 }).run(x);
    expect(far(pieces.values, whole.values)).toBeLessThan(1e-4);
    expect(far(pieces.dead, whole.dead)).toBeLessThan(1e-4);
    const short = x.subarray(RATE * 0.1, RATE * 0.2);
    const plain = new Network(WEIGHTS, { plain: true, chunk: 16 });
    expect(plain.arithmetic).toBe('plain');
    expect(
      far(plain.run(short).values, new Network(WEIGHTS, { chunk: 16 }).run(short).values),
    ).toBeLessThan(2e-3);
  });

  it('hears two plucked strings where and as they are, at any rate', () => {
    for (const rate of [22_050, 48_000]) {
      const x = new Float32Array(rate * 1.2);
      pluck(x, rate, 0.25, 57.1);
      pluck(x, rate, 0.7, 64);
      const { notes } = new Listener(WEIGHTS).hear(x, rate);
      expect(notes.map((n) => Math.round(n.pitch))).toEqual([57, 64]);
      expect(Math.abs(notes[0]!.onset - 0.25)).toBeLessThan(0.02);
      expect(Math.abs(notes[1]!.onset - 0.7)).toBeLessThan(0.02);
      expect(Math.abs(notes[0]!.pitch - 57.1)).toBeLessThan(0.05);
    }
  });

  it('hears under the guitar where a lower string is told', () => {
    const x = new Float32Array(RATE * 1.4);
    pluck(x, RATE, 0.25, 28, 16);
    pluck(x, RATE, 0.8, 33, 16);
    const heard = (string?: number) =>
      new Listener(WEIGHTS).hear(x, RATE, undefined, string).notes.map((n) => Math.round(n.pitch));
    expect(heard(28)).toEqual([28, 33]);
    // As a guitar it has no such notes; a tuning a tone lower than usual changes nothing.
    expect(Math.min(...heard())).toBeGreaterThan(36);
    expect(heard(38)).toEqual(heard());
  });

  it('a tone lies in its bin, and silence is nothing', () => {
    const x = Float32Array.from({ length: RATE }, (_, i) =>
      Math.sin((2 * Math.PI * 440 * i) / RATE),
    );
    const { values, frames } = featuresOf(x);
    expect(frames).toBe(Math.floor(RATE / HOP));
    const frame = Array.from({ length: BINS }, (_, b) => values[(40 * BINS + b) * 2]!);
    // A4 is MIDI 69: 32 semitones of three bins up, and one.
    expect(frame.indexOf(Math.max(...frame))).toBe((69 - LOWEST) * 3 + 1);
    expect(new Listener(WEIGHTS).hear(new Float32Array(0), 44_100).notes).toEqual([]);
    expect(new Listener(WEIGHTS).hear(new Float32Array(20_000), 44_100).notes).toEqual([]);
  });

  it('two frames at once have the spectra of each alone, to the last bit', () => {
    const x = new Float32Array(HOP * 25 + 100);
    pluck(x, RATE, 0.02, 45);
    pluck(x, RATE, 0.1, 52.3);
    // A guitar's windows, and a bass's; an odd number of frames.
    for (const lowest of [LOWEST, 27]) {
      const both = featuresOf(x, { lowest });
      expect(both.frames % 2).toBe(1);
      expect(both).toEqual(featuresOf(x, { lowest, plain: true }));
      expect(Math.max(...both.values)).toBeGreaterThan(1);
    }
  });

  it('a lower rate keeps a tone and drops what it cannot hold', () => {
    const tone = (hz: number) =>
      Float32Array.from({ length: 4410 }, (_, i) => Math.sin((2 * Math.PI * hz * i) / 44_100));
    const power = (x: Float32Array) =>
      x.subarray(400, x.length - 400).reduce((sum, v) => sum + v * v, 0) / (x.length - 800);
    expect(power(resample(tone(1000), 44_100, 22_050))).toBeCloseTo(0.5, 2);
    expect(power(resample(tone(13_000), 44_100, 22_050))).toBeLessThan(1e-6);
  });

  it('refuses weights of another model', () => {
    expect(() => new Network(WEIGHTS.subarray(2))).toThrow(/bytes/u);
  });
});
