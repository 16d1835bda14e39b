import type { NoteId, Ticks } from '../../../core/phrase/types';
import { columnsOf, graphemesOf, wrapText } from '../../text/char-width';
import { type Block, breakLines, endSign, joinSign, type System } from './blocks';
import { HEAD_ROW } from './collect';
import type { Part, Row, Sheet, Span } from './sheet';

/** Where the fret of a note begins: line of the text and character of the line, both from 0. */
export interface TextPlace {
  readonly line: number;
  readonly column: number;
}

export interface Rendered {
  readonly lines: readonly string[];
  /** For each part, the place of every note. */
  readonly places: readonly ReadonlyMap<NoteId, TextPlace>[];
}

/** Draws a sheet in lines of at most `width` characters; only a column wider than that exceeds it. */
export function renderSheet(sheet: Sheet, width: number): Rendered {
  const labels = sheet.parts.flatMap((p) => p.rows.map((r) => r.label.length));
  const margin = Math.max(...labels) + 1;
  const places = sheet.parts.map(() => new Map<NoteId, TextPlace>());
  const lines: string[] = [];
  const spans = sheet.parts.map((p) => new SpanReader(p.spans));
  for (const system of breakLines(sheet.bars, width - margin)) {
    if (lines.length > 0) lines.push('');
    const canvas = new Canvas(system, margin, width);
    sheet.parts.forEach((part, i) => {
      if (part.caption !== '') lines.push(part.caption);
      canvas.draw(part, spans[i]!, lines, places[i]!);
    });
  }
  return { lines, places };
}

/** Gives out the spans of one system after the other, so that all systems together read them once. */
class SpanReader {
  private next = 0;
  private readonly spans: readonly Span[];

  constructor(spans: readonly Span[]) {
    this.spans = [...spans].sort((a, b) => a.from - b.from);
  }

  within(from: Ticks, to: Ticks): readonly Span[] {
    while (this.next < this.spans.length && this.spans[this.next]!.to < from) this.next++;
    const found: Span[] = [];
    for (let i = this.next; i < this.spans.length && this.spans[i]!.from < to; i++) {
      if (this.spans[i]!.to >= from) found.push(this.spans[i]!);
    }
    return found;
  }
}

/** A line that is written into at given places. */
class Line {
  private readonly slots: string[] = [];

  constructor(private readonly fill: string) {}

  put(at: number, text: string): void {
    let x = at;
    for (const g of graphemesOf(text)) {
      if (g.width === 0) {
        this.slots[Math.max(0, x - 1)] = (this.slots[Math.max(0, x - 1)] ?? '') + g.text;
        continue;
      }
      while (this.slots.length < x) this.slots.push(this.fill);
      this.slots[x] = g.text;
      for (let k = 1; k < g.width; k++) this.slots[x + k] = '';
      x += g.width;
    }
  }

  text(): string {
    return this.slots.join('').trimEnd();
  }
}

/** One system with the place of everything in it. */
class Canvas {
  private readonly blocks: readonly {
    readonly block: Block;
    readonly sign: string;
    readonly x: number;
  }[];
  private readonly end: { readonly sign: string; readonly x: number };
  private readonly from: Ticks;
  private readonly to: Ticks;
  private readonly columns = new Map<Ticks, number>();

  constructor(
    system: System,
    private readonly margin: number,
    private readonly width: number,
  ) {
    let x = margin;
    let before: Block | null = null;
    this.blocks = system.blocks.map((block) => {
      const sign = joinSign(before, block);
      before = block;
      x += sign.length;
      const start = x;
      x += block.width;
      return { block, sign, x: start };
    });
    const last = system.blocks.at(-1)!;
    this.end = { sign: endSign(last, system.last), x };
    this.from = system.blocks[0]!.from;
    this.to = last.to;
    for (const { block, x: start } of this.blocks) {
      for (const [i, c] of block.columns.entries()) this.columns.set(c.onset, start + block.at[i]!);
    }
  }

  draw(part: Part, spans: SpanReader, lines: string[], places: Map<NoteId, TextPlace>): void {
    const texts = this.write(part, spans.within(this.from, this.to));
    for (const line of this.words(part)) lines.push(line);
    for (const row of part.rows) {
      const line = texts.get(row.id);
      if (line === undefined) continue;
      this.notePlaces(row, lines.length, places);
      lines.push(line.text());
    }
  }

  private notePlaces(row: Row, line: number, places: Map<NoteId, TextPlace>): void {
    if (row.kind !== 'string') return;
    for (const { block, x } of this.blocks) {
      block.columns.forEach((c, i) => {
        for (const cell of c.cells) {
          if (cell.row === row.id && cell.note !== undefined) {
            places.set(cell.note, { line, column: x + block.at[i]! });
          }
        }
      });
    }
  }

  /** The rows of the part that have something in them, and all strings. */
  private write(part: Part, spans: readonly Span[]): ReadonlyMap<string, Line> {
    const rows = new Map(part.rows.map((r) => [r.id, r]));
    const lines = new Map<string, Line>();
    const lineOf = (id: string): Line | null => {
      const row = rows.get(id);
      if (row === undefined) return null;
      const known = lines.get(id);
      if (known !== undefined) return known;
      const line = this.newLine(row);
      lines.set(id, line);
      return line;
    };
    for (const r of part.rows) if (r.kind === 'string') lineOf(r.id);
    for (const { block, x } of this.blocks) {
      lineOf(HEAD_ROW)?.put(x - 1, block.head);
      block.columns.forEach((c, i) => {
        for (const cell of c.cells) {
          const at = x + block.at[i]!;
          lineOf(cell.row)?.put(at - cell.before.length, cell.before + cell.text);
        }
      });
    }
    for (const span of spans) {
      const inside = [...this.columns].filter(([t]) => t >= span.from && t <= span.to);
      const left = inside[0];
      const right = inside.at(-1);
      if (left === undefined || right === undefined) continue;
      const dashes = right[1] - left[1] - span.text.length;
      const text = dashes < 0 ? span.text : `${span.text}${'-'.repeat(dashes)}|`;
      lineOf(span.row)?.put(left[1], text);
    }
    return lines;
  }

  private newLine(row: Row): Line {
    const string = row.kind === 'string';
    const line = new Line(' ');
    line.put(0, (string ? row.label.padStart(this.margin - 1) : row.label).padEnd(this.margin));
    if (!string) return line;
    for (const { block, sign, x } of this.blocks) {
      line.put(x - sign.length, sign + '-'.repeat(block.width));
    }
    line.put(this.end.x, this.end.sign);
    return line;
  }

  /** Words and dynamics over everything: in one line where they have room, in more where not. */
  private words(part: Part): string[] {
    const rows: { readonly line: Line; end: number }[] = [];
    const room = Math.max(1, this.width - this.margin);
    const here = [...this.columns].flatMap(([onset, at]) =>
      (part.words.get(onset) ?? []).map((text) => ({ at, text })),
    );
    for (const { at, text } of here) {
      const pieces = columnsOf(text) <= room ? [text] : wrapText(text, room);
      let from = 0;
      for (const piece of pieces) {
        const size = columnsOf(piece);
        const x = Math.max(this.margin, Math.min(at, this.width - size));
        // The lines of a long text go on below each other.
        let row = rows.findIndex((r, i) => i >= from && r.end < x);
        if (row < 0) row = rows.push({ line: new Line(' '), end: 0 }) - 1;
        rows[row]!.line.put(x, piece);
        rows[row]!.end = x + size;
        from = row + 1;
      }
    }
    return rows.map((r) => r.line.text());
  }
}
