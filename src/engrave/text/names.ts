import type { PitchedNote } from '../../core/phrase/types';
import { bendSemitones } from '../../core/phrase/walk';

/** The trade's name for the width of a bend: ¼, ½, full, 1½ … by whole tones (common practice). */
export function bendName(n: PitchedNote): string {
  return widthName(bendSemitones(n));
}

/** A width in semitones as whole tones: 0.5 is ¼, 1 is ½, 2 full, 3 1½. */
export function widthName(semitones: number): string {
  if (semitones === 2) return 'full';
  const tones = Math.floor(semitones / 2);
  const rest = semitones - 2 * tones;
  const part = rest === 0.5 ? '¼' : rest === 1 ? '½' : rest === 1.5 ? '¾' : '';
  return `${tones === 0 ? '' : tones}${part}` || String(semitones / 2);
}
