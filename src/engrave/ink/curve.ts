import type { Box } from './box';

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** One cubic segment by its four points. */
export type Curve = readonly [Point, Point, Point, Point];

/**
 * The outer edge of a tie or slur: it leaves and reaches its ends at an angle and bulges by `height`
 * (negative upwards) in the middle.
 */
export function arcCurve(x0: number, y0: number, x1: number, y1: number, height: number): Curve {
  const shoulder = Math.min(0.3, 0.18 + 8 / Math.max(1, x1 - x0));
  const slope = (y1 - y0) * shoulder;
  const h = (height * 4) / 3;
  return [
    { x: x0, y: y0 },
    { x: x0 + (x1 - x0) * shoulder, y: y0 + slope + h },
    { x: x1 - (x1 - x0) * shoulder, y: y1 - slope + h },
    { x: x1, y: y1 },
  ];
}

/**
 * The boxes around short pieces of a curve, in order.
 * @param half Half the thickness of a line.
 * @param inner How far, to the inside of an arc, the ink reaches in its middle.
 */
export function curvePieces([a, b, c, d]: Curve, half: number, inner = 0): readonly Box[] {
  // Steep ends need short pieces, or their boxes would be far larger than the curve.
  const size = Math.max(Math.abs(d.x - a.x), Math.abs(b.y - a.y), Math.abs(c.y - d.y));
  const count = Math.max(8, Math.min(40, Math.ceil(size / 2.5)));
  const boxes: Box[] = [];
  let px = a.x;
  let py = a.y;
  for (let i = 1; i <= count; i++) {
    const t = i / count;
    const u = 1 - t;
    const x = u * u * u * a.x + 3 * u * u * t * b.x + 3 * u * t * t * c.x + t * t * t * d.x;
    const y = u * u * u * a.y + 3 * u * u * t * b.y + 3 * u * t * t * c.y + t * t * t * d.y;
    const depth = inner * 4 * t * u;
    boxes.push({
      x0: Math.min(px, x) - half,
      y0: Math.min(py, y) - half + Math.min(0, depth),
      x1: Math.max(px, x) + half,
      y1: Math.max(py, y) + half + Math.max(0, depth),
    });
    px = x;
    py = y;
  }
  return boxes;
}
