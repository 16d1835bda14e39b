import { LONGEST_PERIOD } from './loop';
import type { Tone } from './tones';

/** What a pluck puts into a string. */
export interface PluckShape {
  /** Samples of one period at the pitch that begins. */
  readonly period: number;
  /** Plucking point as a fraction of the length that sounds. */
  readonly place: number;
  /** Corner of the two lowpasses, in hertz. */
  readonly corner: number;
  readonly rate: number;
}

/** Where the string is plucked, and how softly: the fret makes the point a larger part of what sounds. */
export function pluckShape(
  tone: Tone,
  o: { fret: number; level: number; hertz: number; rate: number; harmonic: boolean },
): PluckShape {
  const brighter = tone.pick * 2 ** ((tone.bright * o.level) / 6);
  return {
    period: o.rate / o.hertz,
    // A touched node leaves its own partials alone, wherever the string is plucked.
    place: o.harmonic ? 0.5 : Math.min(0.48, tone.pluck * 2 ** (o.fret / 12)),
    corner: Math.min(16_000, brighter),
    rate: o.rate,
  };
}

/** The longest pulse: a period and its reflection at the lowest pitch that a string has, and the pick's softness. */
export const LONGEST_PULSE = Math.ceil(1.5 * LONGEST_PERIOD) + 400;

/**
 * A deterministic pulse, softened by the pick and combed by the plucking point, without a constant
 * part. A pulse in place of a burst of noise gives every partial a level that is not left to chance.
 * @param into Room for `LONGEST_PULSE` samples.
 * @param size Its peak.
 * @returns How many samples it has.
 */
export function pluckPulse(
  into: Float64Array,
  { period, place, corner, rate }: PluckShape,
  size: number,
): number {
  const shift = place * period;
  const length = Math.min(LONGEST_PULSE, Math.ceil(period + shift) + 400);
  const k = 1 - Math.exp((-2 * Math.PI * corner) / rate);
  let first = 0;
  let second = 0;
  for (let i = 0; i < length; i++) {
    first += k * ((i === 2 ? 1 : 0) - first);
    second += k * (first - second);
    into[i] = second;
  }
  const whole = Math.floor(shift);
  const part = shift - whole;
  let sum = 0;
  // From the end, since what lies before is still needed as it was.
  for (let i = length - 1; i >= 0; i--) {
    const q = i - whole;
    const back = (q >= 0 ? (1 - part) * into[q]! : 0) + (q > 0 ? part * into[q - 1]! : 0);
    into[i] = into[i]! - back;
    sum += into[i]!;
  }
  const span = Math.min(length, Math.round(period));
  let peak = 1e-9;
  for (let i = 0; i < length; i++) {
    if (i < span) into[i] = into[i]! - sum / span;
    peak = Math.max(peak, Math.abs(into[i]!));
  }
  for (let i = 0; i < length; i++) into[i] = (into[i]! * size) / peak;
  return length;
}
