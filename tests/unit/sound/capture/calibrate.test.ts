import { describe, expect, it } from 'vitest';
import { calibrated } from '../../../../src/sound/capture/calibrate';

/** Pooled over the validation sets of the README of the folder: what was said, how often it was right, of how many notes. */
const MEASURED = [
  [0.55, 0.503, 470],
  [0.66, 0.766, 1000],
  [0.76, 0.96, 8360],
  [0.85, 0.98, 11_298],
  [0.92, 0.99, 6283],
  [0.96, 0.988, 592],
] as const;

describe('how sure a note is', () => {
  it('is how often it had been played where that was measured', () => {
    for (const [said, right] of MEASURED)
      expect(Math.abs(calibrated(said) - right), `${said}`).toBeLessThan(0.015);
  });

  it('keeps the order of notes and stays between 0 and 1', () => {
    const all = Array.from({ length: 501 }, (_, i) => calibrated(0.5 + i / 1000));
    for (const [i, v] of all.entries()) {
      expect(v).toBeGreaterThan(all[i - 1] ?? 0);
      expect(v).toBeLessThan(1);
    }
    expect(calibrated(0.3)).toBe(calibrated(0.5));
  });
});
