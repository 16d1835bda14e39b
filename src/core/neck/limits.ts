/** The bounds of N3 and M10 that are settings rather than laws of the instrument. */
export interface Limits {
  /** Farthest distance between the outermost fretted notes sounding together, in millimetres (N1). */
  readonly reach: number;
  /** Fretting fingers of the hand; a barre is one (N3). */
  readonly fingers: number;
  /** Widest bend in semitones (M10). */
  readonly bend: number;
  /** Widest bend in semitones on the low strings (M10). */
  readonly lowBend: number;
  /** Number of the first low string: this string and all after it take only `lowBend` (M10). */
  readonly lowBendFrom: number;
}

/** N3: 130 mm (*from memory*) and four fingers. M10: bends up to 4 semitones, 2 on strings 5 and 6. */
export const DEFAULT_LIMITS: Limits = {
  reach: 130,
  fingers: 4,
  bend: 4,
  lowBend: 2,
  lowBendFrom: 5,
};
