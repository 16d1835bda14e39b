/** Quieter than this a resonance rests. */
const SILENCE = 1e-7;

/** One resonance: a sine that dies away, set going again by every stroke without a jump. */
export class Ring {
  private readonly omega: number;
  private readonly push: number;
  private turn = 0;
  private fade = 0;
  private last = 0;
  private before = 0;
  private waits = 0;
  private rests = true;

  /**
   * @param hertz Pitch.
   * @param seconds Time in which it dies away by a factor of e.
   * @param rate Samples a second.
   */
  constructor(
    hertz: number,
    private readonly seconds: number,
    private readonly rate: number,
  ) {
    this.omega = (2 * Math.PI * hertz) / rate;
    this.push = Math.sin(this.omega);
    this.damp(seconds);
  }

  /** A sine of this size begins with the next sample. */
  strike(size: number): void {
    this.damp(this.seconds);
    this.waits += size * this.push;
    this.rests = false;
  }

  /** From here on it dies away within other `seconds`, until it is struck again. */
  damp(seconds: number): void {
    const r = Math.exp(-1 / (seconds * this.rate));
    this.turn = 2 * r * Math.cos(this.omega);
    this.fade = r * r;
  }

  /**
   * Adds `n` samples to `out`.
   * @returns Whether anything was added.
   */
  run(out: Float64Array, at: number, n: number): boolean {
    if (this.rests) return false;
    const { turn, fade } = this;
    let { last, before } = this;
    let x = this.waits;
    this.waits = 0;
    let most = 0;
    for (let i = 0; i < n; i++) {
      const y = turn * last - fade * before + x;
      x = 0;
      before = last;
      last = y;
      out[at + i] = out[at + i]! + y;
      if (y > most) most = y;
      else if (-y > most) most = -y;
    }
    this.last = last;
    this.before = before;
    if (most < SILENCE && n >= 64) {
      this.rests = true;
      this.last = 0;
      this.before = 0;
    }
    return true;
  }
}
