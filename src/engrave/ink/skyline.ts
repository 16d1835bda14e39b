import type { Box } from './box';

/** Width of one step in units. Boxes are widened to whole steps, so the answer is on the safe side. */
const STEP = 2;

/**
 * The outline of everything placed so far, seen from above or from below: how far ink reaches over
 * each stretch of the line. `side` −1 looks at the top edge (smaller y is further out), +1 at the
 * bottom edge.
 */
export class Skyline {
  private readonly reach: Float64Array;

  /**
   * @param width Units from x = `from`; ink beyond either end counts at the end.
   * @param edge Where an empty stretch begins, usually the outer line of the staff.
   */
  constructor(
    private readonly side: -1 | 1,
    width: number,
    edge: number,
    private readonly from = 0,
  ) {
    this.reach = new Float64Array(Math.max(1, Math.ceil(width / STEP))).fill(edge * side);
  }

  add(box: Box): void {
    const far = this.side === -1 ? -box.y0 : box.y1;
    const [a, b] = this.steps(box.x0, box.x1);
    for (let i = a; i <= b; i++) if (this.reach[i]! < far) this.reach[i] = far;
  }

  addAll(boxes: Iterable<Box>): void {
    for (const b of boxes) this.add(b);
  }

  /** The furthest edge over [x0, x1]. */
  at(x0: number, x1: number): number {
    const [a, b] = this.steps(x0, x1);
    let far = Number.NEGATIVE_INFINITY;
    for (let i = a; i <= b; i++) far = Math.max(far, this.reach[i]!);
    return far * this.side;
  }

  /** The furthest edge anywhere. */
  get extreme(): number {
    let far = Number.NEGATIVE_INFINITY;
    for (const r of this.reach) far = Math.max(far, r);
    return far * this.side;
  }

  /**
   * How far this outline (looking down) has to be above another (looking up), so that no ink of the
   * two is nearer than `gap`.
   */
  distanceTo(below: Skyline, gap: number): number {
    let need = Number.NEGATIVE_INFINITY;
    const n = Math.min(this.reach.length, below.reach.length);
    for (let i = 0; i < n; i++) need = Math.max(need, this.reach[i]! + below.reach[i]!);
    return need + gap;
  }

  private steps(x0: number, x1: number): readonly [number, number] {
    const last = this.reach.length - 1;
    const a = Math.floor((x0 - this.from) / STEP);
    const b = Math.ceil((x1 - this.from) / STEP) - 1;
    const first = Math.min(last, Math.max(0, a));
    return [first, Math.min(last, Math.max(first, b))];
  }
}
