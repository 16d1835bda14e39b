import type { NoteId, Ticks } from '../core/phrase/types';
import type { Box } from './ink/box';

/** What can be pointed at: a note on the staff, on the tablature or in the degree line. */
export interface NoteHit extends Box {
  readonly id: NoteId;
  readonly row: 'staff' | 'tab' | 'degree';
  readonly onset: Ticks;
}

/** A moment of the line: where a cursor stands and up to where it holds. */
export interface ColumnHit {
  readonly onset: Ticks;
  readonly bar: number;
  /** Middle of its notes. */
  readonly x: number;
}

export interface BarHit {
  /** 0 is the pickup. */
  readonly number: number;
  readonly x0: number;
  readonly x1: number;
  readonly start: Ticks;
  readonly end: Ticks;
}

export interface RowHit {
  readonly row: 'staff' | 'tab' | 'degree';
  readonly y0: number;
  readonly y1: number;
  /** y of each string, the first string first; empty but for the tablature. */
  readonly strings: readonly number[];
}

/** Where everything is in one line of music, in px from its own top left corner. Plain data. */
export interface HitTable {
  readonly notes: readonly NoteHit[];
  /** Ascending in x and onset. */
  readonly columns: readonly ColumnHit[];
  readonly bars: readonly BarHit[];
  readonly rows: readonly RowHit[];
}

/** The moment nearest to x; null in a line without any. Binary search. */
export function columnAt(t: HitTable, x: number): ColumnHit | null {
  const { columns } = t;
  let low = 0;
  let high = columns.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((columns[middle]!.x + columns[middle + 1]!.x) / 2 < x) low = middle + 1;
    else high = middle;
  }
  return columns[low] ?? null;
}

/** The note at a point, with a little room around it for a finger; the nearest where several are. */
export function noteAt(t: HitTable, x: number, y: number, reach = 6): NoteHit | null {
  let best: NoteHit | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const n of t.notes) {
    const dx = Math.max(n.x0 - x, 0, x - n.x1);
    const dy = Math.max(n.y0 - y, 0, y - n.y1);
    const distance = Math.hypot(dx, dy);
    if (distance <= reach && distance < least) {
      best = n;
      least = distance;
    }
  }
  return best;
}

/** The string nearest to y on the tablature, 1 = first; null where the line has no tablature. */
export function stringAt(t: HitTable, y: number): number | null {
  const tab = t.rows.find((r) => r.row === 'tab');
  if (tab === undefined) return null;
  let best = 0;
  tab.strings.forEach((s, i) => {
    if (Math.abs(s - y) < Math.abs(tab.strings[best]! - y)) best = i;
  });
  return best + 1;
}
