import { BLOCK } from '../dsp/block';

/** Taps on one side of a half-band filter's middle that are not zero: many near the range of hearing, few above. */
const FIRST_TAPS = 12;
const SECOND_TAPS = 5;

/**
 * The taps beside the middle of a lowpass at a quarter of the higher rate (windowed sinc, Blackman).
 * Every second tap is zero and the middle one a half, so that one of two samples comes for nothing.
 */
function halfBand(count: number): Float64Array {
  const taps = new Float64Array(2 * count);
  const width = 4 * count;
  let sum = 0;
  for (let i = 0; i < 2 * count; i++) {
    const x = 2 * i + 1 - 2 * count;
    const turn = (2 * Math.PI * (x + width / 2)) / width;
    const window = 0.42 - 0.5 * Math.cos(turn) + 0.08 * Math.cos(2 * turn);
    taps[i] = (Math.sin((Math.PI * x) / 2) / (Math.PI * x)) * window;
    sum += taps[i]!;
  }
  return taps.map((v) => (v * 0.5) / sum);
}

/** Twice as many samples a second: those that were there, and one between every two. */
class Up {
  private readonly line: Float64Array;
  private readonly past: number;

  constructor(
    private readonly taps: Float64Array,
    private readonly size: number,
  ) {
    this.past = taps.length;
    this.line = new Float64Array(this.past + size);
  }

  /** Reads `size` samples and fills `out` with twice as many. */
  process(x: Float64Array, out: Float64Array): void {
    const { line, past, size, taps } = this;
    line.copyWithin(0, size);
    line.set(x, past);
    const half = past / 2;
    for (let i = 0; i < size; i++) {
      const newest = past + i;
      const oldest = newest - past + 1;
      let between = 0;
      for (let k = 0; k < half; k++) between += taps[k]! * (line[newest - k]! + line[oldest + k]!);
      out[2 * i] = line[newest - half]!;
      out[2 * i + 1] = 2 * between;
    }
  }
}

/** Half as many samples a second. */
class Down {
  private readonly even: Float64Array;
  private readonly odd: Float64Array;
  private readonly past: number;

  constructor(
    private readonly taps: Float64Array,
    private readonly size: number,
  ) {
    this.past = taps.length;
    this.even = new Float64Array(this.past + size);
    this.odd = new Float64Array(this.past + size);
  }

  /** Reads twice `size` samples and fills `out` with `size`. */
  process(x: Float64Array, out: Float64Array): void {
    const { even, odd, past, size, taps } = this;
    even.copyWithin(0, size);
    odd.copyWithin(0, size);
    for (let i = 0; i < size; i++) {
      even[past + i] = x[2 * i]!;
      odd[past + i] = x[2 * i + 1]!;
    }
    const half = past / 2;
    for (let i = 0; i < size; i++) {
      const newest = past + i;
      const oldest = newest - past + 1;
      let around = 0.5 * even[newest - half + 1]!;
      for (let k = 0; k < half; k++) around += taps[k]! * (odd[newest - k]! + odd[oldest + k]!);
      out[i] = around;
    }
  }
}

/** Quieter than this nothing is left in the filters. */
const SILENCE = 1e-9;

/**
 * An amplifier that is driven: all strings together through a curve that bends away, so that two
 * of them beat against each other as they should. Four times oversampled, so that what the curve
 * adds above the range of hearing does not fold back into it.
 */
export class Drive {
  private readonly up = [
    new Up(halfBand(FIRST_TAPS), BLOCK),
    new Up(halfBand(SECOND_TAPS), 2 * BLOCK),
  ] as const;
  private readonly down = [
    new Down(halfBand(SECOND_TAPS), 2 * BLOCK),
    new Down(halfBand(FIRST_TAPS), BLOCK),
  ] as const;
  private readonly twice = new Float64Array(2 * BLOCK);
  private readonly fourfold = new Float64Array(4 * BLOCK);
  private readonly high: number;
  private last = 0;
  private kept = 0;
  private rests = true;

  constructor(
    private readonly amount: number,
    rate: number,
  ) {
    this.high = Math.exp((-2 * Math.PI * LOWEST) / rate);
  }

  /**
   * Replaces a block by the driven one.
   * @param silent The block is known to be all zeros.
   * @returns Whether anything may be heard.
   */
  process(block: Float64Array, silent: boolean): boolean {
    if (silent && this.rests) return false;
    const { twice, fourfold, amount } = this;
    this.withoutLows(block);
    this.up[0].process(block, twice);
    this.up[1].process(twice, fourfold);
    for (let i = 0; i < 4 * BLOCK; i++) fourfold[i] = bent(amount * fourfold[i]!);
    this.down[0].process(fourfold, twice);
    this.down[1].process(twice, block);
    let most = 0;
    if (silent) for (let i = 0; i < BLOCK; i++) most = Math.max(most, Math.abs(block[i]!));
    this.rests = silent && most < SILENCE;
    return true;
  }

  /** Little bass goes into the amplifier, else low strings drown the others. */
  private withoutLows(block: Float64Array): void {
    const { high } = this;
    let { last, kept } = this;
    for (let i = 0; i < BLOCK; i++) {
      const x = block[i]!;
      kept = high * (kept + x - last);
      last = x;
      block[i] = kept;
    }
    this.last = last;
    this.kept = kept;
  }
}

/** Corner of the highpass before the amplifier, in hertz. */
const LOWEST = 120;
/** Tubes bend the two halves of a wave a little differently (common practice). */
const LEAN = 0.15;

/** A curve that bends away to 1: a fraction close to the hyperbolic tangent (its continued fraction, cut off). */
function curve(x: number): number {
  if (x > 3) return 1;
  if (x < -3) return -1;
  const square = x * x;
  return (x * (27 + square)) / (27 + 9 * square);
}

const AT_REST = curve(LEAN);

function bent(x: number): number {
  return 0.75 * (curve(x + LEAN) - AT_REST);
}
