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

/**
 * A deterministic pulse, softened by the pick and combed by the plucking point, without a constant
 * part, its peak 1. A pulse in place of a burst of noise gives every partial a level that is not
 * left to chance.
 */
export function pluckPulse({ period, place, corner, rate }: PluckShape): Float64Array {
  const shift = place * period;
  const size = Math.ceil(period + shift) + 400;
  const soft = new Float64Array(size);
  const k = 1 - Math.exp((-2 * Math.PI * corner) / rate);
  let first = 0;
  let second = 0;
  for (let i = 0; i < size; i++) {
    first += k * ((i === 2 ? 1 : 0) - first);
    second += k * (first - second);
    soft[i] = second;
  }
  const whole = Math.floor(shift);
  const part = shift - whole;
  const pulse = new Float64Array(size);
  let sum = 0;
  for (let i = 0; i < size; i++) {
    const q = i - whole;
    const back = (q >= 0 ? (1 - part) * soft[q]! : 0) + (q > 0 ? part * soft[q - 1]! : 0);
    pulse[i] = soft[i]! - back;
    sum += pulse[i]!;
  }
  const span = Math.min(size, Math.round(period));
  let peak = 1e-9;
  for (let i = 0; i < size; i++) {
    if (i < span) pulse[i] = pulse[i]! - sum / span;
    peak = Math.max(peak, Math.abs(pulse[i]!));
  }
  for (let i = 0; i < size; i++) pulse[i] = pulse[i]! / peak;
  return pulse;
}
