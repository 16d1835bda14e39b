import type { Box } from './box';
import type { Pen } from './pen';

/**
 * How far to the right of `left` the origin of `right` has to lie so that no ink of the two is nearer
 * than `gap` where they stand beside each other. Both are measured from their own origins; −Infinity
 * where they never meet.
 * @param reach Ink this much above or below also counts as beside.
 */
export function distanceBetween(
  left: readonly Box[],
  right: readonly Box[],
  gap: number,
  reach = 1.5,
): number {
  let need = Number.NEGATIVE_INFINITY;
  for (const a of left) {
    for (const b of right) {
      if (a.y0 - reach < b.y1 && b.y0 < a.y1 + reach) need = Math.max(need, a.x1 - b.x0 + gap);
    }
  }
  return need;
}

/** Places a box as far right as it goes to the left of everything drawn and hands over its x. */
export function placeLeft(
  pen: Pen,
  box: Box,
  gap: number,
  draw: (x: number) => void,
  reach = 1,
): void {
  const need = distanceBetween([box], pen.taken, gap, reach);
  draw(need === Number.NEGATIVE_INFINITY ? -box.x1 - gap : -need);
}

/** The same to the right. */
export function placeRight(
  pen: Pen,
  box: Box,
  gap: number,
  draw: (x: number) => void,
  reach = 1,
): void {
  const need = distanceBetween(pen.taken, [box], gap, reach);
  draw(need === Number.NEGATIVE_INFINITY ? gap - box.x0 : need);
}
