/** A set of whole numbers from 0, one bit each. */
export class Bits {
  constructor(public words: Uint32Array) {}

  static none(size: number): Bits {
    return new Bits(new Uint32Array((size + 31) >>> 5));
  }

  copy(): Bits {
    return new Bits(this.words.slice());
  }

  has(n: number): boolean {
    return ((this.words[n >>> 5]! >>> (n & 31)) & 1) === 1;
  }

  add(n: number): void {
    this.words[n >>> 5]! |= 1 << (n & 31);
  }

  delete(n: number): void {
    this.words[n >>> 5]! &= ~(1 << (n & 31));
  }

  /** Keeps what the other has too; it may be shorter. */
  keep(other: Bits): void {
    for (let i = 0; i < this.words.length; i++) this.words[i]! &= other.words[i] ?? 0;
  }

  addAll(other: Bits): void {
    for (let i = 0; i < other.words.length; i++) this.words[i]! |= other.words[i]!;
  }

  deleteAll(other: Bits): void {
    for (let i = 0; i < other.words.length; i++) this.words[i]! &= ~other.words[i]!;
  }

  /**
   * Keeps the numbers of which something holds.
   * @param from The first word to be looked at. @param to The word behind the last.
   */
  filter(holds: (n: number) => boolean, from = 0, to = this.words.length): void {
    const { words } = this;
    for (let i = from; i < to; i++) {
      let left = words[i]!;
      let kept = left;
      while (left !== 0) {
        const low = left & -left;
        left ^= low;
        if (!holds((i << 5) + 31 - Math.clz32(low))) kept ^= low;
      }
      words[i] = kept;
    }
  }

  get isEmpty(): boolean {
    return this.words.every((w) => w === 0);
  }

  get count(): number {
    let sum = 0;
    for (let w of this.words) {
      w -= (w >>> 1) & 0x5555_5555;
      w = (w & 0x3333_3333) + ((w >>> 2) & 0x3333_3333);
      sum += (((w + (w >>> 4)) & 0x0f0f_0f0f) * 0x0101_0101) >>> 24;
    }
    return sum;
  }
}
