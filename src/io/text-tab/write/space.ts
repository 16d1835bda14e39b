import { TICKS_PER_QUARTER, type Ticks } from '../../../core/phrase/types';
import type { Column } from './sheet';

/** Columns of a bar with the characters at which they stand, counted from behind the bar line. */
export interface Spacing {
  /** Place of each column. */
  readonly at: readonly number[];
  /** Room needed when the line is cut behind each column, the space before the cut included. */
  readonly widthAfter: readonly number[];
}

/** Characters an eighth takes where nothing needs more. */
const EIGHTH_WIDTH = 3;
const SMALLEST_GAP = 2;

function gapOf(ticks: Ticks): number {
  return Math.max(SMALLEST_GAP, Math.round((EIGHTH_WIDTH * ticks * 2) / TICKS_PER_QUARTER));
}

/**
 * Places columns from left to right: in proportion to time, and as far apart as their texts need,
 * so that nothing runs into anything. Stops as soon as the room is used up.
 * @param end Tick at which the bar ends.
 * @param most Characters there are; the columns after the one that exceeds them are not placed.
 */
export function spaceColumns(columns: readonly Column[], end: Ticks, most: number): Spacing {
  const at: number[] = [];
  const widthAfter: number[] = [];
  const ends = new Map<string, number>();
  let widest = 0;
  for (const [i, c] of columns.entries()) {
    const before = columns[i - 1];
    let x = before === undefined ? 1 : at[i - 1]! + gapOf(c.onset - before.onset);
    for (const cell of c.cells) {
      const free = (ends.get(cell.row) ?? 0) + (cell.joins ? 0 : 1);
      const behind = cell.leads && before !== undefined ? at[i - 1]! + 1 : 0;
      x = Math.max(x, free + cell.before.length, behind + cell.before.length);
    }
    for (const cell of c.cells) {
      const cellEnd = x + cell.text.length;
      ends.set(cell.row, cellEnd);
      widest = Math.max(widest, cellEnd);
    }
    at.push(x);
    const next = columns[i + 1]?.onset ?? end;
    widthAfter.push(Math.max(x + gapOf(next - c.onset), widest + 1));
    if (widest + 1 > most) break;
  }
  return { at, widthAfter };
}
