import type { Random } from './random';

/** A band of noise and how it comes and goes. */
export interface BandShape {
  /** Corners in hertz, each of second order. */
  readonly low: number;
  readonly high: number;
  /** Seconds until it is at its loudest. */
  readonly attack: number;
  /** Seconds in which it dies away by a factor of e. */
  readonly seconds: number;
}

const SILENCE = 1e-6;

/** Noise between two corners, struck or drawn. */
export class Band {
  private readonly highShare: number;
  private readonly lowShare: number;
  private fade = 0;
  private size = 0;
  private goal = 0;
  private rise = 0;
  /** Samples of a long stroke that are left, and all of them; 0 for what is struck. */
  private drawn = 0;
  private whole = 0;
  private a = 0;
  private b = 0;
  private c = 0;
  private d = 0;

  constructor(
    private readonly shape: BandShape,
    private readonly rate: number,
    private readonly random: Random,
  ) {
    this.highShare = 1 - Math.exp((-2 * Math.PI * shape.high) / rate);
    this.lowShare = 1 - Math.exp((-2 * Math.PI * shape.low) / rate);
  }

  strike(size: number): void {
    this.damp(this.shape.seconds);
    this.goal = Math.max(size, this.size);
    this.rise = (this.goal - this.size) / Math.max(1, this.shape.attack * this.rate);
    this.drawn = 0;
  }

  /** Swells and falls within `seconds`. */
  draw(size: number, seconds: number): void {
    this.whole = Math.max(1, Math.round(seconds * this.rate));
    this.drawn = this.whole;
    this.goal = size;
    this.rise = 0;
  }

  /** From here on it dies away within other `seconds`, until it is struck again. */
  damp(seconds: number): void {
    this.fade = Math.exp(-1 / (seconds * this.rate));
    this.rise = 0;
    this.goal = 0;
    if (this.drawn > 0) this.drawn = 0;
  }

  /** @returns Whether anything was added. */
  run(out: Float64Array, at: number, n: number): boolean {
    if (this.size < SILENCE && this.rise <= 0 && this.drawn === 0) return false;
    const { highShare, lowShare, random } = this;
    let { a, b, c, d } = this;
    for (let i = 0; i < n; i++) {
      const size = this.step();
      a += highShare * (random.next() - a);
      b += highShare * (a - b);
      c += lowShare * (b - c);
      d += lowShare * (b - c - d);
      out[at + i] = out[at + i]! + size * (b - c - d);
    }
    this.a = a;
    this.b = b;
    this.c = c;
    this.d = d;
    return true;
  }

  private step(): number {
    if (this.drawn > 0) {
      this.drawn--;
      const done = 1 - this.drawn / this.whole;
      // Faster in the middle of the stroke.
      const swell = done < 0.4 ? done / 0.4 : (1 - done) / 0.6;
      const goal = this.goal * swell;
      this.size += (goal - this.size) * 0.01;
      if (this.drawn === 0) this.damp(0.02);
    } else if (this.rise > 0) {
      this.size += this.rise;
      if (this.size >= this.goal) this.rise = 0;
    } else this.size *= this.fade;
    return this.size;
  }
}
