/** Something that begins at a sample of the stream. */
export interface Timed {
  readonly start: number;
}

/** What is to come, ascending by start; what was added first comes first among equals. */
export class Queue<T extends Timed> {
  private items: T[] = [];
  private head = 0;

  add(item: T): void {
    const { items } = this;
    let i = items.length;
    while (i > this.head && items[i - 1]!.start > item.start) i--;
    if (i === items.length) items.push(item);
    else items.splice(i, 0, item);
  }

  /** Takes out everything that begins at `at` or later. */
  dropFrom(at: number): void {
    const { items } = this;
    let n = items.length;
    while (n > this.head && items[n - 1]!.start >= at) n--;
    items.length = n;
  }

  /** The next, if it begins at `position` or before; it is taken out. */
  due(position: number): T | null {
    const next = this.items[this.head];
    if (next === undefined || next.start > position) return null;
    this.head++;
    if (this.head > 64 && 2 * this.head > this.items.length) {
      this.items = this.items.slice(this.head);
      this.head = 0;
    }
    return next;
  }

  /** Where the next begins; infinity where there is none. */
  get next(): number {
    return this.items[this.head]?.start ?? Number.POSITIVE_INFINITY;
  }
}
