import { type Meter, TICKS_PER_QUARTER, type Ticks } from '../../../core/phrase/types';
import {
  attribute,
  child,
  childNumber,
  childrenOf,
  childText,
  readNumber,
  type XmlElement,
} from '../xml/parse';

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
function valueTicks(type: string, dots: number): number | null {
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
const MOST_BEATS = 32;

/** A meter whose bar is so long, with the preferred beat if possible; null when there is none. */
export function meterOfTicks(ticks: number, prefer: Meter['beatType']): Meter | null {
  for (const beatType of [prefer, ...BEAT_TYPES]) {
    const beats = (ticks * beatType) / WHOLE;
    if (Number.isInteger(beats) && beats >= 1 && beats <= MOST_BEATS) return { beats, beatType };
  }
  return null;
}

/** `<time-modification>`: `actual` notes in the time of `normal`. */
export interface Ratio {
  readonly actual: number;
  readonly normal: number;
}

/** The ratio of a note; null without one, for one to one, and for numbers that make no sense. */
export function readRatio(note: XmlElement): Ratio | null {
  const t = child(note, 'time-modification');
  if (t === undefined) return null;
  const actual = childNumber(t, 'actual-notes');
  const normal = childNumber(t, 'normal-notes');
  if (actual === null || normal === null) return null;
  const sane = [actual, normal].every((n) => Number.isInteger(n) && n >= 1 && n <= 1000);
  return sane && actual !== normal ? { actual, normal } : null;
}

/** Ticks that type, dots and ratio of a note name; null where it has no type. */
export function readNominal(note: XmlElement, ratio: Ratio | null): number | null {
  const type = childText(note, 'type');
  const dots = childrenOf(note, 'dot').length;
  const ticks = type === null || dots > 4 ? null : valueTicks(type, dots);
  if (ticks === null) return null;
  return snap(ratio === null ? ticks : (ticks * ratio.normal) / ratio.actual);
}

/** The staff a note, direction or harmony stands on; 1 where the file does not say. */
export function readStaff(e: XmlElement): number {
  return childNumber(e, 'staff') ?? 1;
}

/** The staff named by the attribute `number` of a clef, key, transposition or staff details. */
export function readStaffNumber(e: XmlElement): number {
  return readNumber(attribute(e, 'number')) ?? 1;
}
