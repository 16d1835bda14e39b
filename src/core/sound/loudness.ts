import type { DynamicMark, Phrase, Ticks } from '../phrase/types';

/**
 * Decibels about mezzo-forte. Four steps of MIDI velocity to a decibel give 32, 48, 64, 80, 96, 112,
 * the even ladder of velocities in common use (common practice).
 */
export const MARK_LEVEL: Readonly<Record<DynamicMark, number>> = {
  pp: -12,
  p: -8,
  mp: -4,
  mf: 0,
  f: 4,
  ff: 8,
};

/** What a way of playing adds to the mark in force, in decibels (ours). */
export const LEVEL = {
  accent: 4,
  tenuto: 1,
  ghost: -9,
  hammered: -3,
  pulled: -4,
  slid: -3,
  tapped: -2,
  palm: -2,
  dead: -4,
  scrape: -4,
  harmonic: -3,
  grace: -2,
  rake: -9,
  upstroke: -1,
} as const;

/** The dynamic mark in force at every moment, in decibels; mezzo-forte before the first. */
export function levels(p: Pick<Phrase, 'marks'>): (onset: Ticks) => number {
  const marks = p.marks.flatMap((m) =>
    m.kind === 'dynamic' ? [{ onset: m.onset, level: MARK_LEVEL[m.value] }] : [],
  );
  return (onset) => {
    let level = 0;
    for (const m of marks) if (m.onset <= onset) level = m.level;
    return level;
  };
}

/** MIDI velocity of a level: 80 for mezzo-forte, 4 a decibel, 1 to 127. */
export function velocityOf(level: number): number {
  return Math.max(1, Math.min(127, Math.round(80 + 4 * level)));
}
