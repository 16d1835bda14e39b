import { BEND_PLACES } from '../../../core/edit/commands/bend-curve';
import { type BendPoint, CURL_SEMITONES } from '../../../core/phrase/types';

/** The places inside a note in words, as they follow one another in `BEND_PLACES`. */
const FRACTIONS: readonly string[] = [
  'an eighth of the note',
  'a sixth of the note',
  'a quarter of the note',
  'a third of the note',
  'three eighths of the note',
  'half the note',
  'five eighths of the note',
  'two thirds of the note',
  'three quarters of the note',
  'five sixths of the note',
  'seven eighths of the note',
];

/** By quarter tones. */
const HEIGHTS: readonly string[] = [
  'not bent',
  'a quarter tone',
  'a semitone',
  'three quarters of a tone',
  'a whole tone',
  'a tone and a quarter',
  'a tone and a half',
  'a tone and three quarters',
  'two whole tones',
];

/** So many semitones off a quarter tone are still called by it: percents are whole. */
const NEAR = 0.05;

/** When in the note a point stands: `after half the note`. */
function timeWords(at: number): string {
  if (at === 0) return 'as the note begins';
  if (at === 100) return 'at the end of the note';
  const fraction = FRACTIONS[BEND_PLACES.indexOf(at) - 1];
  return `after ${fraction ?? `${Math.round(at)} percent of the note`}`;
}

/** A width: `a whole tone`. */
export function widthWords(semitones: number): string {
  return HEIGHTS[Math.round(2 * semitones)] ?? `${semitones} semitones`;
}

/** How far it is bent there: `a whole tone up, R`, with the degree where there is one. */
function heightWords(semitones: number, names: readonly string[]): string {
  const quarters = Math.round(2 * semitones);
  const about = Math.abs(2 * semitones - quarters) > 2 * NEAR ? 'about ' : '';
  const degree = quarters % 2 === 0 && about === '' ? names[quarters / 2] : undefined;
  const height = quarters === 0 ? HEIGHTS[0] : `${widthWords(quarters / 2)} up`;
  return `${about}${height}${degree === undefined ? '' : `, ${degree}`}`;
}

/**
 * A point as it is read out: `after half the note, a whole tone up, R`.
 * @param names Degrees by semitones from the fretted pitch.
 */
export function pointWords(p: BendPoint, semitones: number, names: readonly string[]): string {
  return `${timeWords(p.at)}, ${heightWords((p.amount / 100) * semitones, names)}`;
}

/** The target as it is read out: `a whole tone, up to R`; a curl has no degree. */
export function targetWords(semitones: number, names: readonly string[]): string {
  const width = widthWords(semitones);
  return semitones === CURL_SEMITONES
    ? `${width}, a curl`
    : `${width}, up to ${names[semitones] ?? 'its target'}`;
}
