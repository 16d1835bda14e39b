import type { Phrase } from '../phrase/types';

/** The tones that strings can have; how they sound is `sound/strings/tones.ts`. */
export const TONES = ['clean', 'driven', 'steel', 'nylon', 'bass', 'ukulele'] as const;
export type ToneName = (typeof TONES)[number];

/**
 * The tone an instrument has by itself: its clef tells bass and small instruments from guitars (P3), and
 * its name says whether a guitar is acoustic. Bends are at home on an electric one.
 */
export function toneOf(p: Pick<Phrase, 'instrument'>): ToneName {
  const { clef, name } = p.instrument;
  if (clef === 'bass-8') return 'bass';
  if (clef === 'treble') return 'ukulele';
  if (/nylon|classical/iu.test(name)) return 'nylon';
  return /acoustic|steel/iu.test(name) ? 'steel' : 'clean';
}
