/** The delay line holds the longest period at 96 kHz down to about 24 Hz. */
const SIZE = 4096;
export const LONGEST_PERIOD = SIZE;
const MASK = SIZE - 1;
/** Pitch and loss are computed anew every so many samples, and followed evenly in between. */
export const CONTROL = 32;

/** Loss of a string by frequency f: `low` + `high` · f² / (f² + corner²), in nepers a second. */
export interface Loss {
  readonly low: number;
  readonly high: number;
  /** Half of the added part, in hertz. */
  readonly corner: number;
}

/**
 * One string that vibrates: a delay line of one period with a shelf that takes highs in its loop (extended
 * Karplus-Strong, Jaffe & Smith 1983), read between the samples by a third-order polynomial
 * (Lagrange), its length corrected for the delay of the shelf. No stiffness: it would bend the
 * pitch that is heard.
 */
export class StringLoop {
  private readonly line = new Float64Array(SIZE);
  private write = 0;
  /** The lowpass's memory. */
  private low = 0;
  /** Delay in samples, and its change a sample. */
  private delay = 0;
  private slope = 0;
  private gain = 1;
  /** Share of the highs that is lost in a round, and the lowpass that tells highs from lows. */
  private share = 0;
  private near = 1;

  constructor(private readonly rate: number) {}

  /** A string at rest. */
  clear(): void {
    this.line.fill(0);
    this.low = 0;
    this.delay = 0;
  }

  /**
   * Samples by which the loop is ahead of a pitch that it is tuned to, when that changes: a round takes
   * its length from now, and is heard from half of it ago on; the length is reached after `CONTROL`.
   */
  get ahead(): number {
    return this.delay === 0 ? 0 : this.delay / 2 - CONTROL;
  }

  /**
   * Samples, less than a period, until the string's lowest partial moves as that of a pulse does.
   * @param period Samples of the pitch that begins: what goes round is read so long.
   */
  untilMeets(pulse: Float64Array, length: number, period: number): number {
    const { line, write } = this;
    const whole = Math.min(SIZE - 1, Math.round(period));
    const turn = (2 * Math.PI) / period;
    let [re, im, pulseRe, pulseIm] = [0, 0, 0, 0];
    for (let t = 0; t < whole; t++) {
      const v = line[(write - whole + t) & MASK]!;
      re += v * Math.cos(turn * t);
      im -= v * Math.sin(turn * t);
    }
    for (let t = 0; t < length; t++) {
      pulseRe += pulse[t]! * Math.cos(turn * t);
      pulseIm -= pulse[t]! * Math.sin(turn * t);
    }
    const wait = (Math.atan2(pulseIm, pulseRe) - Math.atan2(im, re)) / turn;
    return (wait + 2 * period) % period;
  }

  /** Pitch in hertz and loss for the next `CONTROL` samples; the first call after `clear` begins there. */
  tune(hertz: number, loss: Loss): void {
    const { rate } = this;
    const omega = (2 * Math.PI * hertz) / rate;
    const pole = Math.exp((-2 * Math.PI * loss.corner) / rate);
    const share = 1 - Math.exp(-loss.high / hertz);
    this.gain = Math.exp(-loss.low / hertz);
    this.share = share;
    this.near = 1 - pole;
    // The delay of the shelf at the pitch, which the line is shorter by.
    const cos = Math.cos(omega);
    const sin = Math.sin(omega);
    const size = (1 - pole) / (1 - 2 * pole * cos + pole * pole);
    const real = 1 - share + share * size * (1 - pole * cos);
    const lag = Math.atan2(share * size * pole * sin, real) / omega;
    const delay = Math.max(4, Math.min(SIZE - 8, rate / hertz - lag));
    if (this.delay === 0) {
      this.delay = delay;
      this.slope = 0;
    } else this.slope = (delay - this.delay) / CONTROL;
  }

  /**
   * Adds `n` samples of the string to `out` from `at` on.
   * @param push What is put into the string, from `pushAt` up to `pushEnd`.
   * @param tap Place of a pickup as a fraction of the period, or 0 for none.
   * @returns The largest size of the string's own movement.
   */
  run(
    out: Float64Array,
    at: number,
    n: number,
    push: Float64Array,
    pushAt: number,
    pushEnd: number,
    tap: number,
  ): number {
    const { line, slope, gain, share, near } = this;
    let { write, low, delay } = this;
    let most = 0;
    for (let i = 0; i < n; i++) {
      delay += slope;
      const v = readLine(line, write, delay);
      low += near * (v - low);
      const k = pushAt + i;
      const x = (k < pushEnd ? push[k]! : 0) + gain * (v + share * (low - v));
      line[write & MASK] = x;
      write++;
      // A pickup hears the wave and its reflection from the bridge, which comes upside down.
      const y = tap > 0 ? x - readLine(line, write, Math.max(1, tap * delay)) : x;
      out[at + i] = out[at + i]! + y;
      const size = x < 0 ? -x : x;
      if (size > most) most = size;
    }
    this.write = write & MASK;
    this.low = low;
    this.delay = delay;
    return most;
  }
}

/** The line `delay` samples before `write`, by a polynomial through four samples. */
function readLine(line: Float64Array, write: number, delay: number): number {
  const whole = Math.floor(delay) - 1;
  const d = delay - whole;
  const i = write - whole;
  const a = d - 1;
  const b = d - 2;
  const c = d - 3;
  return (
    ((-a * b * c) / 6) * line[i & MASK]! +
    ((d * b * c) / 2) * line[(i - 1) & MASK]! -
    ((d * a * c) / 2) * line[(i - 2) & MASK]! +
    ((d * a * b) / 6) * line[(i - 3) & MASK]!
  );
}
