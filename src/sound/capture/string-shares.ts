import type { Posteriors } from './network';
import { PITCHES } from './network-shape';

/** Frames of a note that tell its string: later ones say no more than that it goes on. */
const FRAMES = 24;
const STRINGS = 6;
/** Where the logits of the first to the fifth string stand; that of the sixth is 0. */
const FIRST = 11;

/**
 * How likely each string of a guitar is for a note, from its sound and what sounds around it: six shares from the
 * first string to the sixth, which sum to 1. They are the shares that were learnt, at temperature 1 (README).
 */
export function stringShares(
  p: Posteriors,
  frames: readonly number[],
  rows: readonly number[],
): readonly number[] {
  const sums = new Float64Array(STRINGS);
  const count = Math.min(FRAMES, frames.length);
  for (let k = 0; k < count; k++) {
    const at = (frames[k]! * PITCHES + rows[k]!) * 16 + FIRST;
    const logits = Array.from({ length: STRINGS }, (_, i) =>
      i === STRINGS - 1 ? 0 : p.values[at + i]!,
    );
    const most = Math.max(...logits);
    const all = most + Math.log(logits.reduce((sum, v) => sum + Math.exp(v - most), 0));
    logits.forEach((v, i) => {
      sums[i]! += (v - all) / count;
    });
  }
  const shares = Array.from(sums, (v) => Math.exp(v));
  const whole = shares.reduce((a, b) => a + b, 0);
  return shares.map((v) => v / whole);
}
