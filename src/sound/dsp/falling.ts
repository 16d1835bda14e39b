/** A skin: a sine whose pitch falls as the stroke dies away. */
export interface FallShape {
  /** Hertz at the stroke and in the end. */
  readonly from: number;
  readonly to: number;
  /** Seconds in which the pitch goes 63% of its way, and in which the sound dies away by a factor of e. */
  readonly fall: number;
  readonly seconds: number;
}

const SILENCE = 1e-6;
/** Seconds of the beginning, so that a stroke on a skin that still moves makes no jump. */
const ATTACK = 0.0015;

export class Falling {
  private phase = 0;
  private size = 0;
  private goal = 0;
  private rise = 0;
  private hertz = 0;
  private readonly near: number;
  private fade = 0;

  constructor(
    private readonly shape: FallShape,
    private readonly rate: number,
  ) {
    this.near = 1 - Math.exp(-1 / (shape.fall * rate));
  }

  strike(size: number): void {
    this.damp(this.shape.seconds);
    if (this.size < SILENCE) this.phase = 0;
    this.hertz = this.shape.from;
    this.goal = Math.max(size, this.size);
    this.rise = (this.goal - this.size) / (ATTACK * this.rate);
  }

  /** From here on it dies away within other `seconds`, until it is struck again. */
  damp(seconds: number): void {
    this.fade = Math.exp(-1 / (seconds * this.rate));
    this.rise = 0;
  }

  /** @returns Whether anything was added. */
  run(out: Float64Array, at: number, n: number): boolean {
    if (this.size < SILENCE && this.rise <= 0) return false;
    const turn = (2 * Math.PI) / this.rate;
    for (let i = 0; i < n; i++) {
      this.hertz += (this.shape.to - this.hertz) * this.near;
      this.phase += turn * this.hertz;
      if (this.rise > 0) {
        this.size += this.rise;
        if (this.size >= this.goal) this.rise = 0;
      } else this.size *= this.fade;
      out[at + i] = out[at + i]! + this.size * Math.sin(this.phase);
    }
    this.phase %= 2 * Math.PI;
    return true;
  }
}
