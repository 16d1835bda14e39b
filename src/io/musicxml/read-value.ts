import type { Meter, Ticks } from '../../core/phrase/types';
import { TICKS_PER_QUARTER } from '../../core/phrase/types';

/** Note values of MusicXML 4.0 (data type note-type-value) as parts of a whole note. */
const TYPE_WHOLES: ReadonlyMap<string, number> = new Map([
  ['maxima', 8],
  ['long', 4],
  ['breve', 2],
  ['whole', 1],
  ['half', 1 / 2],
  ['quarter', 1 / 4],
  ['eighth', 1 / 8],
  ['16th', 1 / 16],
  ['32nd', 1 / 32],
  ['64th', 1 / 64],
  ['128th', 1 / 128],
  ['256th', 1 / 256],
  ['512th', 1 / 512],
  ['1024th', 1 / 1024],
]);

export const WHOLE: Ticks = 4 * TICKS_PER_QUARTER;

/** Length in ticks of a note value with dots, or null for a name the format does not have. */
export function valueTicks(type: string, dots: number): number | null {
  const wholes = TYPE_WHOLES.get(type);
  return wholes === undefined ? null : wholes * WHOLE * (2 - 2 ** -dots);
}

/** Makes whole what differs from a whole number only by the noise of divisions. */
export function snap(x: number): number {
  const r = Math.round(x);
  return Math.abs(x - r) < 1e-4 ? r : x;
}

const BEAT_TYPES = [4, 8, 16, 2, 1] as const;

/** Most beats of a bar that is taken over as one bar. */
export const MOST_BEATS = 32;

/** A meter whose bar is so long, with the preferred beat if possible; null when there is none. */
export function meterOfTicks(ticks: number, prefer: Meter['beatType']): Meter | null {
  for (const beatType of [prefer, ...BEAT_TYPES]) {
    const beats = (ticks * beatType) / WHOLE;
    if (Number.isInteger(beats) && beats >= 1 && beats <= MOST_BEATS) return { beats, beatType };
  }
  return null;
}
