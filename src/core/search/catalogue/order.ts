/**
 * Numbers kept in an order, so that answers need no sorting. Sorted when it is first asked for; from
 * then on what comes and goes is put in its place.
 */
export class Order {
  private sorted: number[] | null = null;

  /**
   * @param compare Never 0 for two different numbers.
   * @param sortAll All numbers there are in this order, where that is quicker than by comparing.
   */
  constructor(
    private readonly compare: (a: number, b: number) => number,
    private readonly sortAll: (compare: (a: number, b: number) => number) => number[],
  ) {}

  get numbers(): readonly number[] {
    this.sorted ??= this.sortAll(this.compare);
    return this.sorted;
  }

  /** The order if it is known, without sorting. */
  get known(): readonly number[] | null {
    return this.sorted;
  }

  /** Takes numbers in this order. */
  take(sorted: readonly number[]): void {
    this.sorted = [...sorted];
  }

  /** What the order looks at has changed. */
  forget(): void {
    this.sorted = null;
  }

  add(n: number): void {
    this.sorted?.splice(this.placeOf(n), 0, n);
  }

  delete(n: number): void {
    if (this.sorted === null) return;
    const found = this.placeOf(n);
    // An order that was kept may come from a browser that compares titles otherwise.
    const at = this.sorted[found] === n ? found : this.sorted.indexOf(n);
    if (at >= 0) this.sorted.splice(at, 1);
  }

  private placeOf(n: number): number {
    const sorted = this.sorted!;
    let low = 0;
    let high = sorted.length;
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (this.compare(sorted[middle]!, n) < 0) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}
