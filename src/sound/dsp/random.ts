/** Seeded numbers, the same each time (xorshift, Marsaglia 2003). */
export class Random {
  private state = 1;

  constructor(private readonly first: number) {
    this.restart();
  }

  /** Begins the same row again. */
  restart(): void {
    this.state = (Math.imul(this.first + 1, 2_654_435_761) >>> 0) | 1;
  }

  /** A number from -1 to 1. */
  next(): number {
    let r = this.state;
    r ^= r << 13;
    r >>>= 0;
    r ^= r >>> 17;
    r ^= r << 5;
    this.state = r >>> 0;
    return this.state / 0x8000_0000 - 1;
  }
}
