import type { Box } from './box';
import type { Pen, Point } from './pen';

/**
 * Draws a tie or slur that keeps clear of what lies between its ends: it bulges as little as it
 * has to, and where even the most is not enough its ends move outwards too.
 * @param side −1 above, +1 below.
 * @returns how far the ends were moved, 0 if they were not.
 */
export function clearArc(
  pen: Pen,
  from: Point,
  to: Point,
  side: -1 | 1,
  obstacles: readonly Box[],
  o: { readonly least: number; readonly most: number; readonly thick?: number },
): number {
  const between = obstacles.filter((b) => b.x1 > from.x + 0.5 && b.x0 < to.x - 0.5);
  const { height, shift } = findBulge(from, to, side, between, o);
  pen.arc(from.x, from.y + side * shift, to.x, to.y + side * shift, side * height, o.thick ?? 2);
  return shift;
}

/** Clearance between a curve and anything else. */
const GAP = 1.2;
const SAMPLES = 12;

function findBulge(
  from: Point,
  to: Point,
  side: -1 | 1,
  obstacles: readonly Box[],
  o: { readonly least: number; readonly most: number },
): { height: number; shift: number } {
  let height = o.least;
  let shift = 0;
  // Only what reaches further out than the chord of the arc is in its way.
  const inWay = obstacles.map((b) => ({
    x0: Math.max(b.x0, from.x),
    x1: Math.min(b.x1, to.x),
    near: side === -1 ? b.y1 : b.y0,
    far: side === -1 ? b.y0 : b.y1,
  }));
  for (let tries = 0; tries < 60; tries++) {
    if (isClear(from, to, side, height, shift, inWay)) break;
    if (height < o.most) height += 1.5;
    else shift += 1.5;
  }
  return { height, shift };
}

function isClear(
  from: Point,
  to: Point,
  side: -1 | 1,
  height: number,
  shift: number,
  obstacles: readonly { x0: number; x1: number; near: number; far: number }[],
): boolean {
  const width = to.x - from.x;
  for (const b of obstacles) {
    for (let i = 0; i <= SAMPLES; i++) {
      const x = b.x0 + ((b.x1 - b.x0) * i) / SAMPLES;
      const t = (x - from.x) / width;
      const y = arcY(from.y, to.y, t, side * height) + side * shift;
      if (
        side === -1
          ? y + GAP > b.far && y - 2 - GAP < b.near
          : y - GAP < b.far && y + 2 + GAP > b.near
      )
        return false;
    }
  }
  return true;
}

/** Height of the curve that `Pen.arc` draws, nearly: full in the middle, flat shoulders. */
function arcY(y0: number, y1: number, t: number, height: number): number {
  const bulge = 4 * t * (1 - t);
  return y0 + (y1 - y0) * t + height * bulge;
}
