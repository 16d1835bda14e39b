import type { HeardNote } from './types';

/** Notes that settle on a pitch, fewer of which say nothing of the tuning. */
const LEAST = 4;

/**
 * By how much the instrument was tuned beside A4 = 440 Hz, in semitones from −0.5 to 0.5: the direction in
 * which the fractions of the pitches lie on a circle. Notes that are bent or shaken do not count.
 */
export function offTuning(notes: readonly HeardNote[]): number {
  const still = notes.filter((n) => n.bend === undefined && n.vibrato === undefined);
  if (still.length < LEAST) return 0;
  let x = 0;
  let y = 0;
  for (const n of still) {
    const weight = Math.min(0.5, n.end - n.onset);
    x += weight * Math.cos(2 * Math.PI * n.pitch);
    y += weight * Math.sin(2 * Math.PI * n.pitch);
  }
  return Math.atan2(y, x) / (2 * Math.PI);
}
