import { unionOf } from '../ink/box';
import { type Fragment, Pen } from '../ink/pen';
import { Skyline } from '../ink/skyline';

export type Side = 'above' | 'below';

/** A sign that is waiting for its height. */
export interface Waiting {
  readonly fragment: Fragment;
  readonly x: number;
}

/** A sign that has found its place. */
export interface PlacedSign extends Waiting {
  readonly y: number;
}

/**
 * One staff with what stands over and under it. Signs are stacked outwards on the outline of what is
 * already there, so none ever touches another.
 */
export class Row {
  readonly pen = new Pen();
  private readonly top: Skyline;
  private readonly bottom: Skyline;
  private seen = 0;

  /** @param y0 Upper edge of the empty staff; @param y1 its lower edge. */
  constructor(
    readonly width: number,
    readonly y0: number,
    readonly y1: number,
  ) {
    this.top = new Skyline(-1, width, y0);
    this.bottom = new Skyline(1, width, y1);
  }

  /** Takes what was drawn since the last time into the outline. */
  settle(): void {
    const { ink } = this.pen;
    for (; this.seen < ink.length; this.seen++) {
      const k = ink[this.seen]!;
      if (k.kind === 'staff-line' || k.kind === 'tab-line') continue;
      this.top.add(k);
      this.bottom.add(k);
    }
  }

  get above(): Skyline {
    this.settle();
    return this.top;
  }

  get below(): Skyline {
    this.settle();
    return this.bottom;
  }

  /** y at which a fragment at x stands clear, `gap` away from what is there. */
  heightFor(side: Side, f: Fragment, x: number, gap: number): number {
    const box = unionOf(f.ink);
    if (box === null) return 0;
    return side === 'above'
      ? this.above.at(x + box.x0 - 1, x + box.x1 + 1) - gap - box.y1
      : this.below.at(x + box.x0 - 1, x + box.x1 + 1) + gap - box.y0;
  }

  /** x moved so that the fragment does not leave the page. */
  private inside(f: Fragment, x: number): number {
    const box = unionOf(f.ink)!;
    return Math.max(-box.x0, Math.min(x, this.width - box.x1));
  }

  /** Places a fragment as near to the staff as it goes. */
  stack(side: Side, f: Fragment, x: number, gap: number): void {
    if (f.ink.length === 0) return;
    const at = this.inside(f, x);
    this.pen.place(f, at, this.heightFor(side, f, at, gap));
    this.settle();
  }

  /**
   * Places signs of one sort on one height, so that they read as a line. What would run into its
   * neighbour goes to a second line.
   * @returns where each went.
   */
  stackAligned(side: Side, signs: readonly Waiting[], gap: number): readonly PlacedSign[] {
    const placed: PlacedSign[] = [];
    let left = signs
      .filter((w) => w.fragment.ink.length > 0)
      .map((w) => ({ ...w, x: this.inside(w.fragment, w.x) }))
      .sort((a, b) => a.x - b.x);
    while (left.length > 0) {
      const line: Waiting[] = [];
      const rest: Waiting[] = [];
      let edge = Number.NEGATIVE_INFINITY;
      for (const w of left) {
        const box = unionOf(w.fragment.ink)!;
        if (w.x + box.x0 < edge + 2) rest.push(w);
        else {
          line.push(w);
          edge = w.x + box.x1;
        }
      }
      const ys = line.map((w) => this.heightFor(side, w.fragment, w.x, gap));
      const y = side === 'above' ? Math.min(...ys) : Math.max(...ys);
      for (const w of line) {
        this.pen.place(w.fragment, w.x, y);
        placed.push({ fragment: w.fragment, x: w.x, y });
      }
      this.settle();
      left = rest;
    }
    return placed;
  }
}
