import type { FontInfo, RenderContext } from 'vexflow/core';
import type { InkKind } from '../ink/kinds';
import { MUSIC_SIZE, type Pen } from '../ink/pen';
import { sizeOf } from './setup';

/** Kinds of ink by the groups that VexFlow opens. */
export type Kinds = Readonly<Record<string, InkKind>>;

/**
 * Where VexFlow draws to: our own pen, which knows the outline of everything. It has what the
 * elements we use ask for and nothing else, so that anything unexpected fails at once.
 */
export class PenContext {
  private kind: InkKind = 'words';
  private readonly outer: InkKind[] = [];
  private size = MUSIC_SIZE;
  private points: [x: number, y: number][] = [];
  private rules: [x0: number, x1: number, y: number][] = [];
  private ruleWidth = 0;
  /** Class of the signs that follow. */
  className = '';

  /**
   * @param kinds Kind of ink of each group that will be opened.
   * @param widths Thickness of the lines of each kind: the font's, not VexFlow's own.
   */
  constructor(
    readonly pen: Pen,
    private readonly kinds: Kinds,
    private readonly widths: Partial<Readonly<Record<InkKind, number>>>,
  ) {}

  /** The same as VexFlow knows it. */
  get forVexFlow(): RenderContext {
    return this as unknown as RenderContext;
  }

  openGroup(name: string): void {
    this.flush();
    this.outer.push(this.kind);
    const kind = this.kinds[name];
    if (kind === undefined) throw new RangeError(`nothing is known of the group ${name}`);
    this.begin(kind);
  }

  closeGroup(): void {
    this.flush();
    this.begin(this.outer.pop() ?? 'words');
  }

  private begin(kind: InkKind): void {
    this.kind = kind;
    this.pen.sign(kind, this.className);
  }

  setFont(font: FontInfo): this {
    this.size = sizeOf({ size: font.size ?? 0 });
    return this;
  }

  fillText(text: string, x: number, y: number): this {
    this.pen.text(text, x, y, 'music', this.size);
    return this;
  }

  beginPath(): this {
    this.points = [];
    return this;
  }

  moveTo(x: number, y: number): this {
    this.points.push([x, y]);
    return this;
  }

  lineTo(x: number, y: number): this {
    this.points.push([x, y]);
    return this;
  }

  closePath(): this {
    return this;
  }

  /** A straight line; level ones of one group become one path. */
  stroke(): this {
    const [from, to] = this.corners(2);
    const width = this.widths[this.kind];
    if (width === undefined) throw new RangeError(`no thickness is known for a ${this.kind}`);
    if (from[1] !== to[1]) {
      this.pen.line(from[0], from[1], to[0], to[1], width);
      return this;
    }
    this.ruleWidth = width;
    this.rules.push([from[0], to[0], from[1]]);
    return this;
  }

  /** A beam: two straight edges, one above the other. */
  fill(): this {
    const [a, below, , b] = this.corners(4);
    const thickness = below[1] - a[1];
    const up = Math.min(0, thickness);
    this.pen.bar(a[0], a[1] + up, b[0], b[1] + up, Math.abs(thickness));
    return this;
  }

  private corners(count: 2): readonly [Corner, Corner];
  private corners(count: 4): readonly [Corner, Corner, Corner, Corner];
  private corners(count: number): readonly Corner[] {
    if (this.points.length !== count)
      throw new RangeError(`a path of ${this.points.length} corners`);
    return this.points;
  }

  private flush(): void {
    if (this.rules.length === 0) return;
    this.pen.rules(this.rules, this.ruleWidth);
    this.rules = [];
  }

  // What is drawn takes the colour and thickness of its kind.
  save(): this {
    return this;
  }

  restore(): this {
    return this;
  }

  setStrokeStyle(): this {
    return this;
  }

  setLineWidth(): this {
    return this;
  }

  /** Where a pointer finds a note is in our own table. */
  pointerRect(): this {
    return this;
  }
}

type Corner = readonly [x: number, y: number];
