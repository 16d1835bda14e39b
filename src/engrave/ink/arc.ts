import type { Box } from './box';
import { arcCurve, curvePieces, type Point } from './curve';
import type { Pen } from './pen';

export interface ArcLimits {
  /** Least and greatest bulge. */
  readonly least: number;
  readonly most: number;
  /** Thickness in the middle; 2 when absent. */
  readonly thick?: number;
  /** Each end moves by itself, so that one stays at its note where only the other is crowded. */
  readonly slanting?: boolean;
}

/** Clearance between a curve and anything else. */
const GAP = 1.2;
const STEP = 1.5;

/** An arc that has been fitted between its ends. */
export interface ArcPlan {
  /** Its ends, where they were moved to. */
  readonly from: Point;
  readonly to: Point;
  /** −1 above, +1 below. */
  readonly side: -1 | 1;
  readonly height: number;
  /** How far the end that was moved most went outwards. */
  readonly shift: number;
  readonly thick: number;
}

/** Nearer to an end than this share of its length, a greater bulge hardly helps. */
const END = 0.15;

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
  let first = 0;
  let last = 0;
  const plan = (): ArcPlan => ({
    from: { x: from.x, y: from.y + side * first },
    to: { x: to.x, y: to.y + side * last },
    side,
    height,
    shift: Math.max(first, last),
    thick,
  });
  for (let tries = 0; tries < 200; tries++) {
    const at = firstTouch(plan(), between);
    if (at === null) break;
    const inside = at > END && at < 1 - END;
    if (inside && height < o.most) height += STEP;
    else {
      if (o.slanting !== true || inside || at <= END) first += STEP;
      if (o.slanting !== true || inside || at >= 1 - END) last += STEP;
    }
  }
  return plan();
}

/** Draws a tie, slur or bend arc as planned; lengths in units of the page. */
export function drawArc(pen: Pen, { from, to, side, height, thick }: ArcPlan): void {
  pen.arc(from.x, from.y, to.x, to.y, side * height, thick);
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

/** Where along the arc, 0 to 1, it runs into something, nearest to its middle; null if nowhere. */
function firstTouch(
  { from, to, side, height, thick }: ArcPlan,
  obstacles: readonly Box[],
): number | null {
  if (obstacles.length === 0) return null;
  const curve = arcCurve(from.x, from.y, to.x, to.y, side * height);
  let touch: number | null = null;
  const pieces = curvePieces(curve, 0, -side * thick);
  pieces.forEach((p, i) => {
    const t = (i + 0.5) / pieces.length;
    // A touch in the middle goes first: raising the arc may free the ends as well.
    if (touch !== null && Math.abs(t - 0.5) >= Math.abs(touch - 0.5)) return;
    const meets = obstacles.some(
      (o) => p.x0 < o.x1 && p.x1 > o.x0 && p.y0 - GAP < o.y1 && p.y1 + GAP > o.y0,
    );
    if (meets) touch = t;
  });
  return touch;
}
