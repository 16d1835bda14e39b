import { meterTicks } from '../../core/phrase/time';
import type { Ticks } from '../../core/phrase/types';
import type { Take } from './take';

/** A rest this long ends a phrase, in beats of the meter. */
const REST = 2;
/** A phrase of more bars than these also ends at shorter rests. */
const LONG = 4;
const SHORT_REST = 0.75;

/** A take in parts, each the lines of a phrase: cut at rests. */
export function cutLines(take: Pick<Take, 'lines' | 'meter'>): readonly Take['lines'][] {
  const beat = meterTicks(take.meter) / take.meter.beats;
  const all = take.lines.flat().sort((a, b) => a.onset - b.onset);
  const cuts: Ticks[] = [];
  let end = 0;
  let begin = all[0]?.onset ?? 0;
  for (const e of all) {
    const rest = e.onset - end;
    const long = e.onset - begin > LONG * meterTicks(take.meter);
    if (end > 0 && (rest >= REST * beat || (long && rest >= SHORT_REST * beat))) {
      cuts.push(e.onset);
      begin = e.onset;
    }
    end = Math.max(end, e.end);
  }
  return [0, ...cuts].map((from, i) => {
    const to = cuts[i] ?? Number.POSITIVE_INFINITY;
    return take.lines
      .map((l) => l.filter((e) => e.onset >= from && e.onset < to))
      .filter((l) => l.length > 0);
  });
}
