/** How far strings are bent (M10): settings rather than laws of the instrument. */
export interface BendLimits {
  /** Widest bend in semitones. */
  readonly bend: number;
  /** Widest bend in semitones on the low strings. */
  readonly lowBend: number;
  /** Number of the first low string: this string and all after it take only `lowBend`. */
  readonly lowBendFrom: number;
}

/** M10: up to 4 semitones, 2 on strings 5 and 6. */
export const BEND_LIMITS: BendLimits = { bend: 4, lowBend: 2, lowBendFrom: 5 };

/** Semitones a bend on a string rises at most (M10); string 1 is the first string. */
export function widestBend(string: number, limits: BendLimits = BEND_LIMITS): number {
  return string >= limits.lowBendFrom ? Math.min(limits.lowBend, limits.bend) : limits.bend;
}
