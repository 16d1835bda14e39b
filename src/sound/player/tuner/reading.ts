import { openMidi } from '../../../core/phrase/instrument';
import type { Instrument } from '../../../core/phrase/types';
import type { Cents } from '../../../core/sound/types';
import { frequencyOf } from '../../../core/theory/pitch';

/** How far an open string is from where it belongs. */
export interface TunerReading {
  /** 1 = first string. */
  readonly string: number;
  /** Positive where it is too high. */
  readonly cents: Cents;
}

/** Nearer than this a string is in tune (ours: less than is heard in a chord). */
export const IN_TUNE: Cents = 3;

/** What is further from every string than this is no string being tuned. */
const FARTHEST: Cents = 450;

/**
 * The string that a pitch is nearest to; null where it is near none.
 * @param hertz Greater than 0.
 */
export function readingOf(hertz: number, instrument: Instrument): TunerReading | null {
  let best: TunerReading | null = null;
  for (let string = 1; string <= instrument.tuning.length; string++) {
    const cents = 1200 * Math.log2(hertz / frequencyOf(openMidi(instrument, string)));
    if (best === null || Math.abs(cents) < Math.abs(best.cents)) best = { string, cents };
  }
  return best === null || Math.abs(best.cents) > FARTHEST ? null : best;
}

/** The middle one of the last readings of one string, so that a slip of the finder does not jump. */
export function steady(readings: readonly TunerReading[]): TunerReading | null {
  const last = readings.at(-1);
  if (last === undefined) return null;
  const own = readings.filter((r) => r.string === last.string).sort((a, b) => a.cents - b.cents);
  return own[Math.floor(own.length / 2)] ?? null;
}
