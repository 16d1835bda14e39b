import { type BendPoint, CURL_SEMITONES } from '../../../core/phrase/types';

/** Where the degrees stand, left of the note. */
const LEFT = 64;
/** Room beside the ends of the note for half a touch target. */
const RIGHT = 26;
const TOP = 26;
/** Room under the note for the beats. */
const FEET = 44;
const WIDTH = 336;

/** The drawing of one bend, in px at the usual size of text. */
export interface BendPlan {
  readonly width: number;
  readonly height: number;
  /** Left and right edge of the note, top and bottom of its heights. */
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  /** A semitone. */
  readonly row: number;
  /** Semitones the string can be bent. */
  readonly most: number;
}

/** Lays out a bend on a string that rises so many semitones at most. */
export function planBend(most: number): BendPlan {
  const row = most <= 2 ? 56 : 40;
  const bottom = TOP + most * row;
  return {
    width: WIDTH,
    height: bottom + FEET,
    left: LEFT,
    right: WIDTH - RIGHT,
    top: TOP,
    bottom,
    row,
    most,
  };
}

/** The widths a bend can have, in semitones: a curl, then whole semitones. */
export function widthsOf(most: number): readonly number[] {
  return [CURL_SEMITONES, ...Array.from({ length: most }, (_, i) => i + 1)];
}

/** A place of the drawing, in the plan's px. */
export interface Spot {
  readonly x: number;
  readonly y: number;
}

/** x of a moment, in percent of the note. */
export function timeX({ left, right }: BendPlan, at: number): number {
  return left + ((right - left) * at) / 100;
}

/** y of a height in semitones. */
export function heightY({ bottom, row }: BendPlan, semitones: number): number {
  return bottom - semitones * row;
}

/** Place of a point. @param semitones The width of the bend. */
export function spotOf(plan: BendPlan, p: BendPoint, semitones: number): Spot {
  return { x: timeX(plan, p.at), y: heightY(plan, (p.amount / 100) * semitones) };
}

/** The point of a bend at a place of the drawing; off the drawing it is off the scale. */
export function pointAt(plan: BendPlan, { x, y }: Spot, semitones: number): BendPoint {
  return {
    at: (100 * (x - plan.left)) / (plan.right - plan.left),
    amount: (100 * (plan.bottom - y)) / (plan.row * semitones),
  };
}

/** Semitones at a height of the drawing. */
export function semitonesAt({ bottom, row }: BendPlan, y: number): number {
  return (bottom - y) / row;
}

/** y of the curve at a time; null outside the note. */
export function curveY(
  plan: BendPlan,
  curve: readonly BendPoint[],
  semitones: number,
  x: number,
): number | null {
  const spots = curve.map((p) => spotOf(plan, p, semitones));
  const after = spots.findIndex((s) => s.x >= x);
  const b = spots[after];
  const a = spots[after - 1] ?? b;
  if (a === undefined || b === undefined || x < a.x) return null;
  return a === b ? b.y : a.y + ((b.y - a.y) * (x - a.x)) / (b.x - a.x);
}

/** What somebody takes hold of: a point by its number, or the target's line. */
export type Hold = number | 'target';

/** What is nearest to a place of the drawing and no further than `reach`; points go first. */
export function holdAt(
  plan: BendPlan,
  curve: readonly BendPoint[],
  semitones: number,
  spot: Spot,
  reach: number,
): Hold | null {
  let found: Hold | null = null;
  let least = reach;
  for (const [i, p] of curve.entries()) {
    const at = spotOf(plan, p, semitones);
    const far = Math.hypot(at.x - spot.x, at.y - spot.y);
    if (far <= least) {
      found = i;
      least = far;
    }
  }
  if (found !== null) return found;
  return Math.abs(heightY(plan, semitones) - spot.y) <= reach ? 'target' : null;
}
