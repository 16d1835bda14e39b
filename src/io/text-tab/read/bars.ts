import type { Ticks } from '../../../core/phrase/types';
import { cellsOf, type TabCell } from './cells';
import type { TabBlock, TabLine } from './lines';

/** One bar of a block with its cells; `to` is the column of the line that ends it. */
export interface TabBar {
  readonly from: number;
  readonly to: number;
  readonly block: TabBlock;
  readonly cells: readonly TabCell[];
}

/** The bars of a block; signs that mean nothing are counted in `odd`. */
export function barsOf(block: TabBlock, odd: Map<string, number>, own: boolean): readonly TabBar[] {
  const { lines } = block;
  const cells = lines.flatMap((l, i) => cellsOf(l, i + 1, odd, own));
  const ends = barLines(lines);
  const left = Math.min(...lines.map((l) => l.start));
  const right = Math.max(...lines.map((l) => l.start + l.body.length));
  const edges = [
    left - 1,
    ...ends.filter((c) => c > left),
    ...(ends.at(-1) === right - 1 ? [] : [right]),
  ];
  const sorted = cells.sort((a, b) => a.column - b.column || a.string - b.string);
  let next = sorted.findIndex((c) => c.column >= left);
  return edges.slice(1).map((to, i) => {
    const first = next;
    while (next >= 0 && next < sorted.length && sorted[next]!.column < to) next++;
    return { from: edges[i]! + 1, to, block, cells: next < 0 ? [] : sorted.slice(first, next) };
  });
}

/** Ticks of the finest values that a full bar is guessed in, and of those that a divided one gets. */
const FINEST = 315;
const FINE = 1_260;

/**
 * A bar with more moments than its metre has places for becomes several, each with so many that
 * they can be read.
 * @param full Ticks of a bar.
 */
export function dividedBar(bar: TabBar, full: Ticks): readonly TabBar[] {
  const groups = groupColumns(bar.cells);
  if (groups.length <= full / FINEST) return [bar];
  const room = Math.max(1, Math.floor(full / FINE));
  const bars: TabBar[] = [];
  for (let i = 0; i < groups.length; i += room) {
    bars.push({
      block: bar.block,
      from: i === 0 ? bar.from : groups[i]!.column,
      to: groups[i + room]?.column ?? bar.to,
      cells: groups.slice(i, i + room).flatMap((g) => g.cells),
    });
  }
  return bars;
}

/** Cells that are struck together. */
export interface Group {
  readonly column: number;
  readonly cells: readonly TabCell[];
}

/** Frets that stand under each other; a two-digit one may begin a column early. */
export function groupColumns(cells: readonly TabCell[]): readonly Group[] {
  const sorted = [...cells].sort((a, b) => a.column - b.column || a.string - b.string);
  const groups: { column: number; cells: TabCell[] }[] = [];
  for (const c of sorted) {
    const last = groups.at(-1);
    const wide = last?.cells.some((x) => x.fret > 9) === true || c.fret > 9;
    const near = last !== undefined && c.column - last.column <= (wide ? 1 : 0);
    if (last !== undefined && near && last.cells.every((x) => x.string !== c.string))
      last.cells.push(c);
    else groups.push({ column: c.column, cells: [c] });
  }
  return groups;
}

/** Columns where most lines have a bar line. */
function barLines(lines: readonly TabLine[]): readonly number[] {
  const votes = new Map<number, number>();
  for (const l of lines) {
    [...l.body].forEach((c, i) => {
      if (c === '|') votes.set(l.start + i, (votes.get(l.start + i) ?? 0) + 1);
    });
  }
  const columns = [...votes]
    .filter(([, n]) => n * 2 > lines.length)
    .map(([column]) => column)
    .sort((a, b) => a - b);
  // A double line is one line.
  return columns.filter((c, i) => columns[i + 1] !== c + 1);
}

/** Empty bars at the beginning and at the end are paper, not music. */
export function trimmed(bars: readonly TabBar[]): readonly TabBar[] {
  const first = bars.findIndex((b) => b.cells.length > 0);
  if (first < 0) return [];
  const last = bars.reduce((found, b, i) => (b.cells.length > 0 ? i : found), first);
  return bars.slice(first, last + 1);
}
