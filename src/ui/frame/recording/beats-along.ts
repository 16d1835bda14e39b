import { beatTicks, meterTicks } from '../../../core/phrase/time';
import type { Phrase } from '../../../core/phrase/types';
import { secondsPerTick } from '../../../core/sound/perform';

/** A beat of a phrase where it lies in a recording: what the score has in bars, on the time of what was played. */
export interface BeatAlong {
  /** Second of the recording. */
  readonly at: number;
  /** As the phrase counts it; 0 for its pickup, null where it has ended. */
  readonly bar: number | null;
  /** From 1. */
  readonly beat: number;
}

/**
 * The beats of a phrase on the time of its recording.
 * @param bars Seconds of the recording at which bars begin, ascending.
 * @param begin Second at which the phrase begins as it is written, pickup included.
 * @param to Second up to which they are wanted.
 */
export function beatsAlong(
  { pickup, bars: own, tempo }: Pick<Phrase, 'pickup' | 'bars' | 'tempo'>,
  bars: readonly number[],
  begin: number,
  to: number,
): readonly BeatAlong[] {
  const { meter } = own[0]!;
  const [first, second] = bars;
  if (first === undefined) return [];
  const long = second === undefined ? meterTicks(meter) * secondsPerTick(tempo) : second - first;
  const one = begin + (pickup / meterTicks(meter)) * long;
  const count = meterTicks(meter) / beatTicks(meter);
  // What lies before the first of the bars that are known is counted as well.
  return [first - long, ...bars].flatMap((bar) => {
    const number = Math.round((bar - one) / long) + 1;
    const ends = number === own.length + 1;
    return Array.from({ length: ends ? 1 : count }, (_, i) => ({
      at: bar + (i * long) / count,
      bar: ends ? null : number,
      beat: i + 1,
    })).filter(({ at }) => number <= own.length + 1 && at >= begin - 0.001 && at <= to);
  });
}
