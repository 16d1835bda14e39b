import { BEND_LIMITS, type BendLimits } from '../technique/bend-width';

/** The bounds of N3 and M10 that are settings rather than laws of the instrument. */
export interface Limits extends BendLimits {
  /** Farthest distance between the outermost fretted notes sounding together, in millimetres (N1). */
  readonly reach: number;
  /** Fretting fingers of the hand; a barre is one (N3). */
  readonly fingers: number;
}

/** N3: 130 mm (*from memory*) and four fingers; M10: the widths of bends. */
export const DEFAULT_LIMITS: Limits = { reach: 130, fingers: 4, ...BEND_LIMITS };
