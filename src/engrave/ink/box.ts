/** A rectangle of the page; x to the right, y downwards, x0 ≤ x1, y0 ≤ y1. */
export interface Box {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** The box moved to the right by dx and down by dy. */
export function moveBox<B extends Box>(b: B, dx: number, dy: number): B {
  return { ...b, x0: b.x0 + dx, y0: b.y0 + dy, x1: b.x1 + dx, y1: b.y1 + dy };
}

/** Whether two boxes share more than `slack` in both directions. */
export function overlaps(a: Box, b: Box, slack = 0): boolean {
  return (
    Math.min(a.x1, b.x1) - Math.max(a.x0, b.x0) > slack &&
    Math.min(a.y1, b.y1) - Math.max(a.y0, b.y0) > slack
  );
}

/** The smallest box around all; null around nothing. */
export function unionOf(boxes: Iterable<Box>): Box | null {
  let x0 = Number.POSITIVE_INFINITY;
  let y0 = Number.POSITIVE_INFINITY;
  let x1 = Number.NEGATIVE_INFINITY;
  let y1 = Number.NEGATIVE_INFINITY;
  for (const b of boxes) {
    x0 = Math.min(x0, b.x0);
    y0 = Math.min(y0, b.y0);
    x1 = Math.max(x1, b.x1);
    y1 = Math.max(y1, b.y1);
  }
  return x0 > x1 ? null : { x0, y0, x1, y1 };
}
