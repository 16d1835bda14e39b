import { describe, expect, it } from 'vitest';
import { clickSound, delayOf } from '../../../../src/sound/capture/delay';

const CLICKS = Array.from({ length: 8 }, (_, i) => 0.3 + 0.5 * i);

/** What a microphone hears of clicks: later, softer, with an echo, among noise that is the same every time. */
function heard(rate: number, o: { late: number; size: number; noise: number; drop?: number }) {
  const x = new Float32Array(Math.round(4.6 * rate));
  let seed = 7;
  for (let i = 0; i < x.length; i++) {
    seed = (seed * 1_103_515_245 + 12_345) % 2 ** 31;
    x[i] = o.noise * (seed / 2 ** 30 - 1);
  }
  const click = clickSound(rate);
  CLICKS.slice(0, CLICKS.length - (o.drop ?? 0)).forEach((t) => {
    for (const [later, size] of [
      [0, 1],
      [0.011, 0.8],
      [0.027, 1.1],
    ] as const) {
      const at = Math.round((t + o.late + later) * rate);
      for (let i = 0; i < click.length; i++) {
        if (at + i < x.length) x[at + i]! += o.size * size * click[i]!;
      }
    }
  });
  return x;
}

describe('the click test', () => {
  it('finds the delay within half a millisecond, in an echo and noise, at both usual rates', () => {
    for (const [rate, late] of [
      [44_100, 0.0317],
      [48_000, 0.004],
      [48_000, 0.3],
    ] as const) {
      const d = delayOf(heard(rate, { late, size: 0.1, noise: 0.01 }), rate, CLICKS);
      if (!d.ok) throw new Error(d.problems[0]!.message);
      expect(Math.abs(d.value.seconds - late)).toBeLessThan(0.0005);
      expect(d.value.heard).toBe(8);
    }
  });

  it('says that it hears too few: silence, noise alone, half of them missing', () => {
    const rate = 48_000;
    for (const o of [
      { late: 0.03, size: 0, noise: 0 },
      { late: 0.03, size: 0, noise: 0.3 },
      { late: 0.03, size: 0.1, noise: 0.01, drop: 4 },
    ]) {
      const d = delayOf(heard(rate, o), rate, CLICKS);
      expect(d.ok).toBe(false);
      if (!d.ok) expect(d.problems[0]!.message).toMatch(/^\d of 8 clicks were heard$/u);
    }
  });

  it('says that they do not agree', () => {
    const rate = 48_000;
    const x = new Float32Array(Math.round(4.6 * rate));
    const click = clickSound(rate);
    CLICKS.forEach((t, k) => {
      x.set(click, Math.round((t + 0.02 + 0.03 * k) * rate));
    });
    const d = delayOf(x, rate, CLICKS);
    expect(d.ok).toBe(false);
    if (!d.ok) expect(d.problems[0]!.message).toMatch(/different times/u);
  });
});
