/** Taps of the filter between the two rates, odd. */
const TAPS = 47;

/** A lowpass at a quarter of the doubled rate: windowed sinc (Blackman), for going up and down by two. */
const HALF_BAND = (() => {
  const h = new Float64Array(TAPS);
  const middle = (TAPS - 1) / 2;
  let sum = 0;
  for (let i = 0; i < TAPS; i++) {
    const x = i - middle;
    const sinc = x === 0 ? 0.47 : Math.sin(Math.PI * 0.47 * x) / (Math.PI * x);
    const turn = (2 * Math.PI * i) / (TAPS - 1);
    h[i] = sinc * (0.42 - 0.5 * Math.cos(turn) + 0.08 * Math.cos(2 * turn));
    sum += h[i]!;
  }
  return h.map((v) => v / sum);
})();

/** A row of past samples, newest first, written twice so that they always lie in one piece. */
class Past {
  private readonly row = new Float64Array(2 * TAPS);
  private at = 0;

  push(x: number): void {
    this.at = this.at === 0 ? TAPS - 1 : this.at - 1;
    this.row[this.at] = x;
    this.row[this.at + TAPS] = x;
  }

  filtered(): number {
    let sum = 0;
    for (let k = 0; k < TAPS; k++) sum += HALF_BAND[k]! * this.row[this.at + k]!;
    return sum;
  }
}

/**
 * An amplifier that is driven: all strings together through a curve that bends away, so that two
 * of them beat against each other as they should. Four times oversampled, so that what the curve
 * adds above the range of hearing does not fold back into it.
 */
export class Drive {
  private readonly up = [new Past(), new Past()] as const;
  private readonly down = [new Past(), new Past()] as const;
  private last = 0;
  private high = 0;

  constructor(
    private readonly amount: number,
    private readonly rate: number,
  ) {}

  process(block: Float32Array, n: number): void {
    for (let i = 0; i < n; i++) block[i] = this.sample(this.withoutLows(block[i]!));
  }

  /** Little bass goes into the amplifier, else low strings drown the others: a highpass at 120 Hz. */
  private withoutLows(x: number): number {
    const k = Math.exp((-2 * Math.PI * 120) / this.rate);
    this.high = k * (this.high + x - this.last);
    this.last = x;
    return this.high;
  }

  private sample(x: number): number {
    let y = 0;
    for (let a = 0; a < 2; a++) {
      this.up[0].push(a === 0 ? 2 * x : 0);
      const twice = this.up[0].filtered();
      let between = 0;
      for (let b = 0; b < 2; b++) {
        this.up[1].push(b === 0 ? 2 * twice : 0);
        this.down[1].push(this.bent(this.up[1].filtered()));
        if (b === 0) between = this.down[1].filtered();
      }
      this.down[0].push(between);
      if (a === 0) y = this.down[0].filtered();
    }
    return y;
  }

  /** Tubes bend the two halves of a wave a little differently (common practice). */
  private bent(x: number): number {
    const y = this.amount * x;
    return (Math.tanh(y + 0.15) - 0.148_9) * 0.75;
  }
}
