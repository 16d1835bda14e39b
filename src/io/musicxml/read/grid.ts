import { stepIn } from '../../../core/phrase/tuplet';
import type { Ticks, Tuplet } from '../../../core/phrase/types';
import { GRID } from './bars';
import { snap } from './value';

/** The places where a note value may begin or end, given the tuplets of a voice (T1). */
export class Grid {
  readonly #tuplets: readonly Tuplet[];

  /** @param tuplets ascending and not overlapping. */
  constructor(tuplets: readonly Tuplet[]) {
    this.#tuplets = tuplets;
  }

  /** The tuplet with the time in [onset, end), as its place in the list; null outside. */
  tupletAt(time: number): number | null {
    let low = 0;
    let high = this.#tuplets.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      const t = this.#tuplets[middle]!;
      if (t.onset + t.duration <= time) low = middle + 1;
      else high = middle;
    }
    const t = this.#tuplets[low];
    return t !== undefined && t.onset <= time ? low : null;
  }

  /** The nearest place; halves go later. */
  nearest(time: number): Ticks {
    const index = this.tupletAt(time);
    if (index === null) return this.#nearestOutside(time);
    const t = this.#tuplets[index]!;
    const unit = stepIn(t);
    return t.onset + Math.round(snap((time - t.onset) / unit)) * unit;
  }

  has(time: Ticks): boolean {
    return this.nearest(time) === time;
  }

  #nearestOutside(time: number): Ticks {
    // Tuplets begin and end on the grid, so the nearest multiple never lies inside one.
    return Math.round(snap(time / GRID)) * GRID;
  }
}
