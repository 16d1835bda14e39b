/** Samples of the last minutes, in memory that does not grow: 16 bits each. */
export class Remembered {
  private readonly ring: Int16Array;
  private next = 0;
  private held = 0;

  /** @param most Samples that are remembered. */
  constructor(most: number) {
    this.ring = new Int16Array(most);
  }

  /** Samples that are held now. */
  get length(): number {
    return this.held;
  }

  add(block: Float32Array): void {
    for (const v of block) {
      this.ring[this.next] = Math.round(Math.max(-1, Math.min(1, v)) * 32_767);
      this.next = (this.next + 1) % this.ring.length;
    }
    this.held = Math.min(this.ring.length, this.held + block.length);
  }

  /** The newest samples, oldest first. */
  last(count: number): Float32Array {
    const n = Math.min(count, this.held);
    const { ring } = this;
    const from = (this.next - n + ring.length) % ring.length;
    return Float32Array.from({ length: n }, (_, i) => ring[(from + i) % ring.length]! / 32_767);
  }

  forget(): void {
    this.held = 0;
  }
}
