import { beatTicks, meterTicks } from '../../core/phrase/time';
import type { Bar, Meter, Ticks } from '../../core/phrase/types';
import { fail, ok, type Result } from '../../core/result';
import { GRID } from '../../core/validity/rhythm';
import type { ImportLog } from '../musicxml/read/log';
import type { Song } from './song';

export interface SongBars {
  readonly pickup: Ticks;
  readonly bars: readonly Bar[];
  readonly length: Ticks;
  /** Every counted beat, ascending, without gaps; the first may begin before the phrase does. */
  readonly beats: readonly { readonly at: Ticks; readonly end: Ticks }[];
}

const MOST_BARS = 10_000;

/** A first bar of more than this share of the second is a bar. */
const MOST_PICKUP = 0.75;

/**
 * Bars from the meters of a file (4/4 before the first). A short first bar is the pickup. A meter that
 * comes inside a bar begins a new one: the bar before has a meter of its own length then, where there is
 * one.
 * @param end Where the last note ends.
 * @param exact Whether the phrase ends there; else with its bar.
 */
export function barsOf(song: Song, end: number, exact: boolean, log: ImportLog): Result<SongBars> {
  const changes = metersOf(song, log);
  const bars: Bar[] = [];
  const starts: Ticks[] = [];
  let at: Ticks = 0;
  let i = 0;
  while (at < Math.max(end, 1)) {
    while (i + 1 < changes.length && changes[i + 1]!.at <= at) i += 1;
    const { meter } = changes[i]!;
    const next = changes[i + 1]?.at ?? Number.POSITIVE_INFINITY;
    const full = meterTicks(meter);
    const cut = next - at < full ? meterOfTicks(next - at) : null;
    if (cut !== null)
      log.add('approximated', 'a bar is shorter than its meter and has one of its own', {
        onset: at,
      });
    const own = cut ?? meter;
    bars.push({ meter: own });
    starts.push(at);
    at += meterTicks(own);
    if (bars.length > MOST_BARS) {
      return fail({
        message: `the part has more than ${MOST_BARS} bars`,
        fix: 'Export only the bars you need.',
      });
    }
  }
  const [first, second] = bars;
  const short = first !== undefined && second !== undefined && isPickup(first.meter, second.meter);
  const pickup = short && changes.length > 1 ? meterTicks(first.meter) : 0;
  const whole = exact ? Math.max(Math.round(end / GRID) * GRID, (starts.at(-1) ?? 0) + GRID) : at;
  const beats = bars.flatMap(({ meter }, k) => {
    const beat = beatTicks(meter);
    const count = Math.round(meterTicks(meter) / beat);
    return Array.from({ length: count }, (_, n) => {
      return { at: starts[k]! + n * beat, end: starts[k]! + (n + 1) * beat };
    });
  });
  return ok({
    pickup,
    bars: pickup > 0 ? bars.slice(1) : bars,
    length: Math.min(at, whole),
    beats,
  });
}

/** A short first bar, or one that only 16ths can measure; a whole bar of 4/4 before a longer one is a bar. */
function isPickup(first: Meter, second: Meter): boolean {
  const share = meterTicks(first) / meterTicks(second);
  if (share >= 1) return false;
  return first.beatType === 16 || (share <= MOST_PICKUP && (first.beats < 4 || first.beatType > 4));
}

interface MeterChange {
  readonly at: Ticks;
  readonly meter: Meter;
}

function metersOf(song: Song, log: ImportLog): readonly MeterChange[] {
  const out: MeterChange[] = [{ at: 0, meter: { beats: 4, beatType: 4 } }];
  if (song.meters.length === 0) log.add('assumed', 'the file names no meter: 4/4');
  for (const m of song.meters) {
    const meter = meterOf(m.beats, m.beatType);
    if (meter === null) {
      log.add('dropped', `a meter of ${m.beats}/${m.beatType} is not known here`, { onset: m.at });
      continue;
    }
    const at = Math.round(m.at / GRID) * GRID;
    const last = out.at(-1)!;
    if (last.at === at) out.pop();
    out.push({ at, meter });
  }
  return out;
}

const TYPES = [1, 2, 4, 8, 16] as const;
const MOST_BEATS = 32;

function meterOf(beats: number, beatType: number): Meter | null {
  let [b, t] = [beats, beatType];
  while (t > 16 && b % 2 === 0) [b, t] = [b / 2, t / 2];
  const type = TYPES.find((x) => x === t);
  return type === undefined || b < 1 || b > MOST_BEATS ? null : { beats: b, beatType: type };
}

/** The meter with the longest value whose bar is so long; null where none is. */
function meterOfTicks(ticks: Ticks): Meter | null {
  for (const beatType of [4, 8, 16] as const) {
    const beats = (ticks * beatType) / 40_320;
    if (Number.isInteger(beats) && beats >= 1 && beats <= MOST_BEATS) return { beats, beatType };
  }
  return null;
}
