import type { Ink, Pen } from '../ink/pen';
import type { Placed } from '../page/thread';
import type { HeadPlace } from './heads';

/** Where a line of music begins and ends for what is cut by its ends. */
export interface LineEnds {
  readonly left: number;
  readonly right: number;
}

/** Which way arcs of an item bulge: away from its stem, or outwards beside another voice. */
export function arcSide(p: Placed, divided: boolean): -1 | 1 {
  const { item } = p.place;
  if (divided) return item.voice === 0 ? -1 : 1;
  return item.stem === 'up' ? 1 : -1;
}

/** Where the head of a note stands; null where it has none on the staff. */
export function headOf(p: Placed, id: string): HeadPlace | null {
  return p.place.heads?.heads.find((h) => h.id === id) ?? null;
}

const CROSSED = new Set(['staff-line', 'barline', 'ledger', 'meter']);

/** What an arc has to keep clear of in a part of the page. */
export function obstaclesNear(
  pen: Pen,
  x0: number,
  x1: number,
  y0: number,
  y1: number,
): readonly Ink[] {
  return pen.ink.filter(
    (k) => k.x1 > x0 && k.x0 < x1 && k.y1 > y0 && k.y0 < y1 && !CROSSED.has(k.kind),
  );
}
