import type { BarSpan } from '../../../core/phrase/time';
import type { Ticks } from '../../../core/phrase/types';
import type { Column, SheetBar } from './sheet';
import { spaceColumns } from './space';

/** A bar, or a piece of one that is longer than the page, as wide as it will stand in its line. */
export interface Block {
  readonly span: BarSpan;
  readonly head: string;
  readonly columns: readonly Column[];
  /** Place of each column behind the bar line. */
  readonly at: readonly number[];
  readonly width: number;
  readonly from: Ticks;
  readonly to: Ticks;
  /** The bar began in the line before. */
  readonly continues: boolean;
  /** The bar goes on in the next line. */
  readonly open: boolean;
}

/** Blocks that stand beside each other. */
export interface System {
  readonly blocks: readonly Block[];
  readonly last: boolean;
}

/** Breaks the bars into lines of at most `room` characters, bar lines included. */
export function breakLines(bars: readonly SheetBar[], room: number): readonly System[] {
  const lines: Block[][] = [];
  let line: Block[] = [];
  let used = 0;
  const all = bars.flatMap((b) => blocksOf(b, room));
  for (const block of all) {
    const sign = joinSign(line.at(-1) ?? null, block).length;
    const end = endSign(block, block === all.at(-1)).length;
    if (line.length > 0 && (used + sign + block.width + end > room || block.continues)) {
      lines.push(line);
      line = [];
      used = 0;
    }
    used += joinSign(line.at(-1) ?? null, block).length + block.width;
    line.push(block);
  }
  if (line.length > 0) lines.push(line);
  return lines.map((blocks, i) => ({ blocks, last: i === lines.length - 1 }));
}

/** Room for the widest signs at both ends of a line. */
const EDGES = 4;

/** A bar as one block or, where it is too long, cut at beats, and at any column where a beat is. */
function blocksOf(bar: SheetBar, room: number): Block[] {
  const blocks: Block[] = [];
  const most = Math.max(1, room - EDGES);
  let rest = bar.columns;
  while (rest.length > 0) {
    const { at, widthAfter } = spaceColumns(rest, bar.span.end, most);
    const count = fittingColumns(rest, widthAfter, most);
    const open = count < rest.length;
    const continues = blocks.length > 0;
    const head = continues ? `(${bar.span.number})` : bar.head;
    blocks.push({
      span: bar.span,
      head,
      columns: rest.slice(0, count),
      at: at.slice(0, count),
      width: Math.max(widthAfter[count - 1]!, head.length + 1),
      from: rest[0]!.onset,
      to: rest[count]?.onset ?? bar.span.end,
      continues,
      open,
    });
    rest = rest.slice(count);
  }
  return blocks;
}

function fittingColumns(
  columns: readonly Column[],
  widthAfter: readonly number[],
  most: number,
): number {
  if (widthAfter.length === columns.length && widthAfter.at(-1)! <= most) return columns.length;
  let any = 1;
  let beat = 0;
  for (let i = 1; i < columns.length; i++) {
    if ((widthAfter[i - 1] ?? Number.POSITIVE_INFINITY) > most) break;
    any = i;
    if (columns[i]!.onBeat) beat = i;
  }
  return beat > 0 ? beat : any;
}

/** The line before a block: with what it shares it, if it is not the first of its line. */
export function joinSign(before: Block | null, block: Block): string {
  if (block.continues) return '-';
  const starts = block.span.bar.repeatStart === true;
  if (before === null) return starts ? '|:' : '|';
  const ends = before.span.bar.repeatEnd !== undefined;
  return `${ends ? ':' : ''}|${starts ? ':' : ''}`;
}

/** The line behind the last block of a line. */
export function endSign(block: Block, lastOfAll: boolean): string {
  if (block.open) return '-';
  if (block.span.bar.repeatEnd !== undefined) return ':|';
  return lastOfAll ? '||' : '|';
}
