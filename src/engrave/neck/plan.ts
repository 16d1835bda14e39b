import type { OnNeck } from '../../core/neck/on-neck';
import { fretMillimetres, playableFrets } from '../../core/phrase/instrument';
import type { Instrument, Place } from '../../core/phrase/types';
import { markWidth } from './tag';

/** Units between two strings. */
export const ROW = 36;
/** For the names of the strings, and for open strings before the nut. */
const NAMES = 26;
const OPEN = 38;
/** A usual width of a fret, and the least and greatest width of the frets together where labels let it. */
const USUAL_FRET = 62;
/** Where the page is narrow. */
const NARROW_FRET = 38;
const LEAST = 260;
const MOST = 980;
const LEAST_FRET = 17;
/** Between two labels. */
const CLEAR = 4;
/** At the far end, so that strings run on. */
const TAIL = 12;

/** A neck laid out: wires where they are on the instrument (N1), as wide as the labels need. */
export interface NeckPlan {
  readonly width: number;
  /** First and last fret shown; with fret 0 the nut or capo and the open strings. */
  readonly frets: readonly [number, number];
  readonly strings: number;
  /** x of the wire of a fret; of fret 0 the nut; `from − 1` is the left edge. */
  readonly wire: (fret: number) => number;
  /** Middle of the place where a fret is pressed; of fret 0 before the nut. */
  readonly middle: (fret: number) => number;
  /** y of a string below the first. */
  readonly y: (string: number) => number;
  readonly mirrored: boolean;
}

/** The frets that are worth showing for what lies on a neck: a fret of room at each side, five at least. */
export function fretsFor(i: Instrument, places: readonly Place[]): readonly [number, number] {
  const last = playableFrets(i);
  if (places.length === 0) return [0, Math.min(last, 12)];
  const lo = Math.min(...places.map((p) => p.fret));
  const hi = Math.max(...places.map((p) => p.fret));
  const from = lo <= 2 ? 0 : lo - 1;
  const to = Math.min(last, Math.max(hi + 1, from + 5));
  return [Math.max(0, Math.min(from, to - 5)), to];
}

/**
 * Where everything of a picture of the neck goes.
 * @param frets First and last, both shown.
 * @param mirrored For the left hand.
 */
export function planNeck(
  i: Instrument,
  contents: readonly OnNeck[],
  frets: readonly [number, number],
  mirrored: boolean,
  narrow = false,
): NeckPlan {
  const last = playableFrets(i);
  const from = Math.max(0, Math.min(frets[0], last));
  const to = Math.max(from, Math.min(frets[1], last));
  const edge = Math.max(0, from - 1);
  const mm = (fret: number) => fretMillimetres(i, fret) - fretMillimetres(i, edge);
  const middleMm = (fret: number) => (mm(fret - 1) + mm(fret)) / 2;
  const span = Math.max(1, mm(to));
  let scale =
    Math.max(LEAST, Math.min(MOST, (narrow ? NARROW_FRET : USUAL_FRET) * (to - edge))) / span;
  if (to > edge) scale = Math.max(scale, LEAST_FRET / (mm(to) - mm(to - 1)));
  for (const [a, b] of neighbours(contents, from, to)) {
    const room = (a.width + b.width) / 2 + CLEAR;
    // From an open string to a fret, part of the way is room before the nut, which does not grow.
    const [given, way] =
      a.fret === 0 ? [OPEN / 2, middleMm(b.fret)] : [0, middleMm(b.fret) - middleMm(a.fret)];
    scale = Math.max(scale, (room - given) / way);
  }
  // What stands at the first or last fret must not leave the neck, nor cover the names of the strings.
  let open = from === 0 ? OPEN : 0;
  for (const content of contents) {
    for (const m of content.marks) {
      if (m.fret === 0 && from === 0) open = Math.max(open, markWidth(m) + 2 * CLEAR);
      const side = markWidth(m) / 2;
      if (m.fret === to && to > 0)
        scale = Math.max(scale, (side - TAIL + 2) / (mm(to) - middleMm(to)));
      if (m.fret === from && from > 0)
        scale = Math.max(scale, (side - 2) / (middleMm(from) - mm(from - 1)));
    }
  }
  const left = NAMES + open;
  const width = left + span * scale + TAIL;
  const flip = (x: number) => (mirrored ? width - x : x);
  const wire = (fret: number) => flip(left + mm(Math.max(edge, fret)) * scale);
  return {
    width,
    frets: [from, to],
    strings: i.tuning.length,
    wire,
    middle: (fret) => (fret === 0 ? flip(NAMES + open / 2) : (wire(fret - 1) + wire(fret)) / 2),
    y: (string) => (string - 1) * ROW,
    mirrored,
  };
}

interface Wide {
  readonly fret: number;
  readonly width: number;
}

/** Every two marks that stand next to each other on a string. */
function neighbours(
  contents: readonly OnNeck[],
  from: number,
  to: number,
): readonly (readonly [Wide, Wide])[] {
  const rows = new Map<number, Map<number, number>>();
  for (const content of contents) {
    for (const m of content.marks) {
      if (m.fret < from || m.fret > to) continue;
      const row = rows.get(m.string) ?? new Map<number, number>();
      row.set(m.fret, Math.max(row.get(m.fret) ?? 0, markWidth(m)));
      rows.set(m.string, row);
    }
  }
  return [...rows.values()].flatMap((row) => {
    const marks = [...row]
      .map(([fret, width]) => ({ fret, width }))
      .sort((a, b) => a.fret - b.fret);
    return marks.slice(1).map((m, i) => [marks[i]!, m] as const);
  });
}
