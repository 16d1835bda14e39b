import type { Instrument } from '../../core/phrase/types';
import { midiOf, pitchClassSign } from '../../core/theory/pitch';

/** Tunings that go without saying, first string first, as MIDI numbers (common practice). */
const STANDARD: readonly (readonly number[])[] = [
  // Guitar: E4 B3 G3 D3 A2 E2; with a seventh string B1.
  [64, 59, 55, 50, 45, 40],
  [64, 59, 55, 50, 45, 40, 35],
  // Bass: G2 D2 A1 E1; with a fifth string B0; five strings from C3.
  [43, 38, 33, 28],
  [43, 38, 33, 28, 23],
  [48, 43, 38, 33, 28],
  // Ukulele: A4 E4 C4 G4; with a low G3.
  [69, 64, 60, 67],
  [69, 64, 60, 55],
];

/**
 * What a player has to do to the instrument before the frets sound as written: `Capo 2`, and
 * `Tuning: D A D G B E`, the lowest string first (common practice). Empty where there is nothing to do.
 */
export function instrumentWords(i: Instrument): readonly string[] {
  const words: string[] = [];
  const open = i.tuning.map(midiOf);
  if (!STANDARD.some((s) => s.length === open.length && s.every((m, k) => m === open[k]))) {
    const names = i.tuning.map(pitchClassSign).reverse();
    words.push(`Tuning: ${names.join(' ')}`);
  }
  if (i.capo > 0) words.push(`Capo ${i.capo}`);
  return words;
}
