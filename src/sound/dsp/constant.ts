/** Corner in hertz: under every string. */
const LOWEST = 12;

/**
 * Takes the constant part out of a stream (a highpass of first order). A string whose length changes while
 * it sounds keeps a little of it, which no ear hears, but which the body would lift over the note.
 */
export class WithoutConstant {
  private readonly keep: number;
  private last = 0;
  private kept = 0;

  /** @param rate Samples a second. */
  constructor(rate: number) {
    this.keep = Math.exp((-2 * Math.PI * LOWEST) / rate);
  }

  process(block: Float64Array): void {
    const { keep } = this;
    let { last, kept } = this;
    for (let i = 0; i < block.length; i++) {
      const x = block[i]!;
      kept = x - last + keep * kept;
      last = x;
      block[i] = kept;
    }
    this.last = last;
    this.kept = kept;
  }

  /** What comes next begins from silence. */
  clear(): void {
    this.last = 0;
    this.kept = 0;
  }
}
