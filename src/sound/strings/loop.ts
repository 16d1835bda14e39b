/** The delay line holds the longest period at 96 kHz down to about 24 Hz. */
const SIZE = 4096;
const MASK = SIZE - 1;
/** Pitch and loss are computed anew every so many samples, and followed evenly in between. */
export const CONTROL = 32;

/** Loss of a string by frequency: at 0 Hz, and what is added at 1 kHz, in nepers a second. */
export interface Loss {
  readonly low: number;
  readonly high: number;
  /** The added part grows with the square of the frequency up to here, in hertz. */
  readonly corner: number;
}

/**
 * One string that vibrates: a delay line of one period with a lowpass in its loop (extended
 * Karplus-Strong, Jaffe & Smith 1983), read between the samples by a third-order polynomial
 * (Lagrange), its length corrected for the delay of the lowpass. No stiffness: it would bend the
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
  private pole = 0;

  constructor(private readonly rate: number) {}

  /** A string at rest. */
  clear(): void {
    this.line.fill(0);
    this.low = 0;
    this.delay = 0;
  }

  /** Pitch in hertz and loss for the next `CONTROL` samples; the first call after `clear` begins there. */
  tune(hertz: number, loss: Loss): void {
    const { rate } = this;
    this.setLoss(hertz, loss);
    const omega = (2 * Math.PI * hertz) / rate;
    const a = this.pole;
    const lag = Math.atan2(a * Math.sin(omega), 1 - a * Math.cos(omega)) / omega;
    const delay = Math.max(4, Math.min(SIZE - 8, rate / hertz - lag));
    if (this.delay === 0) {
      this.delay = delay;
      this.slope = 0;
    } else this.slope = (delay - this.delay) / CONTROL;
  }

  /** One pole, g(1−a)/(1−a/z): the given loss at 0 Hz and at the corner (Välimäki et al. 1996). */
  private setLoss(hertz: number, { low, high, corner }: Loss): void {
    const round = Math.exp(-((high * (corner / 1000) ** 2) / hertz));
    const c = Math.cos((2 * Math.PI * corner) / this.rate);
    const b = (1 - round * round * c) / (1 - round * round);
    this.gain = Math.exp(-low / hertz);
    this.pole = b - Math.sqrt(Math.max(0, b * b - 1));
  }

  /**
   * Adds `n` samples of the string to `out` from `at` on.
   * @param push What is put into the string, from `pushAt` on; nothing beyond its end.
   * @param tap Place of a pickup as a fraction of the period, or 0 for none.
   * @returns The largest size of the string's own movement.
   */
  run(
    out: Float64Array,
    at: number,
    n: number,
    push: Float64Array,
    pushAt: number,
    tap: number,
  ): number {
    const { line, slope, gain, pole } = this;
    let { write, low, delay } = this;
    let most = 0;
    for (let i = 0; i < n; i++) {
      delay += slope;
      const v = readLine(line, write, delay);
      low = (1 - pole) * v + pole * low;
      const k = pushAt + i;
      const x = (k < push.length ? push[k]! : 0) + gain * low;
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
