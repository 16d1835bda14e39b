import type { Box } from './box';
import type { Pen, Point } from './pen';

export interface ArcLimits {
  /** Least and greatest bulge. */
  readonly least: number;
  readonly most: number;
  /** Thickness in the middle; 2 when absent. */
  readonly thick?: number;
}

/** Clearance between a curve and anything else. */
const GAP = 1.8;
const SAMPLES = 16;
const STEP = 1.5;

/** An arc that has been fitted between its ends. */
export interface ArcPlan {
  readonly from: Point;
  readonly to: Point;
  /** −1 above, +1 below. */
  readonly side: -1 | 1;
  readonly height: number;
  /** How far its ends were moved outwards. */
  readonly shift: number;
  readonly thick: number;
}

/**
 * Fits a tie or slur so that it keeps clear of what lies between its ends: it bulges as little as
 * it has to, and where something stands near an end its ends move outwards.
 */
export function planArc(
  from: Point,
  to: Point,
  side: -1 | 1,
  obstacles: readonly Box[],
  o: ArcLimits,
): ArcPlan {
  const thick = o.thick ?? 2;
  const between = obstacles.filter((b) => b.x1 > from.x && b.x0 < to.x);
  let height = o.least;
  let shift = 0;
  for (let tries = 0; tries < 80; tries++) {
    const at = firstTouch(from, to, side, height, shift, thick, between);
    if (at === null) break;
    // Near an end a greater bulge hardly helps.
    if (at > 0.22 && at < 0.78 && height < o.most) height += STEP;
    else shift += STEP;
  }
  return { from, to, side, height, shift, thick };
}

export function drawArc(pen: Pen, { from, to, side, height, shift, thick }: ArcPlan): void {
  pen.arc(from.x, from.y + side * shift, to.x, to.y + side * shift, side * height, thick);
}

/** Fits and draws in one. */
export function clearArc(
  pen: Pen,
  from: Point,
  to: Point,
  side: -1 | 1,
  obstacles: readonly Box[],
  o: ArcLimits,
): void {
  drawArc(pen, planArc(from, to, side, obstacles, o));
}

/** Further than this an arc does not belong to its notes any more. */
const FAR = 7;

/** The first of two plans unless it had to go far and the other had not. */
export function nearerArc(first: ArcPlan, other: () => ArcPlan): ArcPlan {
  if (first.shift <= FAR) return first;
  const second = other();
  return second.shift < first.shift ? second : first;
}

/** Where along the arc, 0 to 1, it first runs into something; null where it is clear. */
function firstTouch(
  from: Point,
  to: Point,
  side: -1 | 1,
  height: number,
  shift: number,
  thick: number,
  obstacles: readonly Box[],
): number | null {
  const width = to.x - from.x;
  let touch: number | null = null;
  for (const b of obstacles) {
    const x0 = Math.max(b.x0, from.x);
    const x1 = Math.min(b.x1, to.x);
    for (let i = 0; i <= SAMPLES; i++) {
      const t = (x0 + ((x1 - x0) * i) / SAMPLES - from.x) / width;
      const outer = from.y + (to.y - from.y) * t + side * (shift + height * 4 * t * (1 - t));
      const inner = outer - side * thick;
      const top = Math.min(outer, inner) - GAP;
      const bottom = Math.max(outer, inner) + GAP;
      if (bottom <= b.y0 || top >= b.y1) continue;
      // A touch in the middle goes first: raising the arc may free the ends as well.
      if (touch === null || Math.abs(t - 0.5) < Math.abs(touch - 0.5)) touch = t;
    }
  }
  return touch;
}
