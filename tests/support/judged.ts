import { expect } from 'vitest';

/**
 * How often a property came as far as its law. A law that returns early for nearly every case proves
 * nothing, however many cases there were.
 */
export class Judged {
  private tried = 0;
  private reached = 0;

  begin(): void {
    this.tried++;
  }

  /** The law was held against this case. */
  end(): void {
    this.reached++;
  }

  /** Fails where fewer than this share of the cases came to the end. */
  expectAtLeast(share: number): void {
    const said = `${this.reached} of ${this.tried} cases were judged`;
    expect(this.reached / Math.max(1, this.tried), said).toBeGreaterThanOrEqual(share);
  }
}
