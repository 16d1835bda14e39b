import { GLYPHS, type GlyphName } from '../font/glyphs';
import { type Face, measureText, type TextExtent } from '../font/measure';
import { type Box, unionOf } from './box';
import { arcCurve, curvePieces, type Point } from './curve';
import type { InkKind } from './kinds';

/** Ten units to a staff space; everything inside the engraver is measured in them. */
export const SPACE = 10;

/** A music font's size is four staff spaces (SMuFL). */
export const MUSIC_SIZE = 4 * SPACE;

/** A piece of printed ink. A slanted or curved sign is several boxes with one number. */
export interface Ink extends Box {
  readonly kind: InkKind;
  /** Equal for the pieces of one sign, which are never compared with each other. */
  readonly sign: number;
  /**
   * Signs that are drawn as one, such as a note's head and stem or a group under a beam; '' for none,
   * two names with a bar between them for a head that two voices share.
   */
  readonly family: string;
}

/** Something drawn once, which can be placed anywhere. */
export interface Fragment {
  readonly ink: readonly Ink[];
  /** The same, and room that what is drawn later will need. */
  readonly taken: readonly Box[];
  readonly svg: string;
}

export const EMPTY: Fragment = { ink: [], taken: [], svg: '' };

/** Number of a sign; unique over all pens, so that fragments can be put together. */
let signs = 0;

/**
 * Writes SVG and keeps the ink boxes of what it writes. Colours are never set: everything is drawn
 * in `currentColor`, or takes a class that a style sheet may colour.
 */
export class Pen {
  private readonly inks: Ink[] = [];
  private readonly reserved: Box[] = [];
  private readonly out: string[] = [];
  private kind: InkKind = 'words';
  private number = 0;
  private classes = '';
  private family = '';

  /** Begins a sign; what follows belongs to it until the next. */
  sign(kind: InkKind, className = ''): this {
    this.kind = kind;
    this.number = ++signs;
    this.classes = className === '' ? '' : ` class="${className}"`;
    return this;
  }

  /** The signs that follow belong together; '' ends it. */
  of(family: string): this {
    this.family = family;
    return this;
  }

  get group(): string {
    return this.family;
  }

  /** A musical sign with its origin at (x, y). */
  glyph(name: GlyphName, x: number, y: number, scale = 1): TextExtent {
    return this.write(GLYPHS[name], x, y, 'music', MUSIC_SIZE * scale);
  }

  /** A text that begins at x on the base line y. */
  text(text: string, x: number, y: number, face: Face, size: number): TextExtent {
    return this.write(text, x, y, face, size);
  }

  private write(text: string, x: number, y: number, face: Face, size: number): TextExtent {
    const m = measureText(text, face, size);
    this.box({ x0: x + m.x0, y0: y + m.y0, x1: x + m.x1, y1: y + m.y1 });
    const style =
      face === 'bold' ? ' font-weight="700"' : face === 'italic' ? ' font-style="italic"' : '';
    const width = m.known ? '' : ` textLength="${num(m.advance)}" lengthAdjust="spacingAndGlyphs"`;
    this.out.push(
      `<text x="${num(x)}" y="${num(y)}" font-size="${num(size)}"${style}${width}${this.classes}>${escapeText(text)}</text>`,
    );
    return m;
  }

  /** A straight line of the given thickness. */
  line(x0: number, y0: number, x1: number, y1: number, width: number, dash?: string): this {
    this.slantedBoxes({ x: x0, y: y0 }, { x: x1, y: y1 }, width);
    const d = `M${num(x0)} ${num(y0)}L${num(x1)} ${num(y1)}`;
    return this.strokePath(d, width, dash);
  }

  /** Several horizontal strokes of one thickness at one go: the lines of a staff. */
  rules(pieces: readonly (readonly [x0: number, x1: number, y: number])[], width: number): this {
    let d = '';
    for (const [x0, x1, y] of pieces) {
      this.box({ x0, y0: y - width / 2, x1, y1: y + width / 2 });
      d += `M${num(x0)} ${num(y)}H${num(x1)}`;
    }
    return d === '' ? this : this.strokePath(d, width);
  }

  /** An open line through corners. */
  polyline(points: readonly Point[], width: number): this {
    points.slice(1).forEach((p, i) => {
      this.slantedBoxes(points[i]!, p, width);
    });
    return this.strokePath(corners(points), width);
  }

  /** A filled shape with corners. */
  polygon(points: readonly Point[]): this {
    this.box(unionOf(points.map((p) => ({ x0: p.x, y0: p.y, x1: p.x, y1: p.y })))!);
    this.out.push(`<path d="${corners(points)}Z"${this.classes}/>`);
    return this;
  }

  /** A filled shape between two straight edges one above the other, such as a beam. */
  bar(x0: number, y0: number, x1: number, y1: number, thickness: number): this {
    const pieces = Math.max(1, Math.min(8, Math.ceil(Math.abs(y1 - y0) / 2)));
    for (let i = 0; i < pieces; i++) {
      const ya = y0 + ((y1 - y0) * i) / pieces;
      const yb = y0 + ((y1 - y0) * (i + 1)) / pieces;
      this.box({
        x0: x0 + ((x1 - x0) * i) / pieces,
        x1: x0 + ((x1 - x0) * (i + 1)) / pieces,
        y0: Math.min(ya, yb),
        y1: Math.max(ya, yb) + thickness,
      });
    }
    const d = `M${num(x0)} ${num(y0)}L${num(x1)} ${num(y1)}v${num(thickness)}L${num(x0)} ${num(y0 + thickness)}Z`;
    this.out.push(`<path d="${d}"${this.classes}/>`);
    return this;
  }

  /** An open curve through one cubic segment. */
  curve(a: Point, b: Point, c: Point, d: Point, width: number): this {
    for (const box of curvePieces([a, b, c, d], width / 2)) this.box(box);
    return this.strokePath(
      `M${num(a.x)} ${num(a.y)}C${num(b.x)} ${num(b.y)} ${num(c.x)} ${num(c.y)} ${num(d.x)} ${num(d.y)}`,
      width,
    );
  }

  /** A tie or slur: thin at the ends, `thick` in the middle; bulges by `height` (negative upwards). */
  arc(x0: number, y0: number, x1: number, y1: number, height: number, thick = 2): this {
    const outer = arcCurve(x0, y0, x1, y1, height);
    const [from, a, b, to] = outer;
    const t = ((height < 0 ? -thick : thick) * 4) / 3;
    for (const box of curvePieces(outer, 0, height < 0 ? thick : -thick)) this.box(box);
    const d =
      `M${num(from.x)} ${num(from.y)}C${num(a.x)} ${num(a.y)} ${num(b.x)} ${num(b.y)} ${num(to.x)} ${num(to.y)}` +
      `C${num(b.x)} ${num(b.y - t)} ${num(a.x)} ${num(a.y - t)} ${num(from.x)} ${num(from.y)}Z`;
    this.out.push(`<path d="${d}"${this.classes}/>`);
    return this;
  }

  /** A tall parenthesis between y0 and y1, thick in its middle; it bulges by `bulge` (negative to the left). */
  parenthesis(x: number, y0: number, y1: number, bulge: number, thick: number): this {
    const [b, t] = [(bulge * 4) / 3, (Math.sign(bulge) * thick * 4) / 3];
    const [ya, yb] = [y0 + (y1 - y0) * 0.3, y1 - (y1 - y0) * 0.3];
    const far = x + bulge;
    this.box({ x0: Math.min(x, far), x1: Math.max(x, far), y0, y1 });
    const d =
      `M${num(x)} ${num(y0)}C${num(x + b)} ${num(ya)} ${num(x + b)} ${num(yb)} ${num(x)} ${num(y1)}` +
      `C${num(x + b - t)} ${num(yb)} ${num(x + b - t)} ${num(ya)} ${num(x)} ${num(y0)}Z`;
    this.out.push(`<path d="${d}"${this.classes}/>`);
    return this;
  }

  /** A small filled head of an arrow with its tip at (x, y). */
  arrowhead(x: number, y: number, direction: 'up' | 'down' | 'right', size = 7): this {
    const w = size * 0.42;
    if (direction === 'right') {
      return this.polygon([
        { x, y },
        { x: x - size, y: y - w },
        { x: x - size, y: y + w },
      ]);
    }
    const s = direction === 'up' ? size : -size;
    return this.polygon([
      { x, y },
      { x: x + w, y: y + s },
      { x: x - w, y: y + s },
    ]);
  }

  /** An empty frame with round corners. */
  frame(b: Box, radius: number, width: number): this {
    const w = b.x1 - b.x0 - 2 * radius;
    const h = b.y1 - b.y0 - 2 * radius;
    const r = num(radius);
    const corner = (x: number, y: number) => `a${r} ${r} 0 0 1 ${num(x)} ${num(y)}`;
    this.box(b);
    const d =
      `M${num(b.x0 + radius)} ${num(b.y0)}h${num(w)}${corner(radius, radius)}v${num(h)}` +
      `${corner(-radius, radius)}h${num(-w)}${corner(-radius, -radius)}v${num(-h)}${corner(radius, -radius)}`;
    return this.strokePath(d, width);
  }

  /** An upright wavy line from y0 to y1, either way. */
  wave(x: number, y0: number, y1: number, width: number): this {
    const down = y1 > y0 ? 1 : -1;
    const turns = Math.max(1, Math.round(Math.abs(y1 - y0) / 4));
    const step = Math.abs(y1 - y0) / turns;
    let d = `M${num(x)} ${num(y0)}`;
    for (let i = 0; i < turns; i++) {
      d += `q${i % 2 === 0 ? 3.2 : -3.2} ${num((down * step) / 2)} 0 ${num(down * step)}`;
    }
    this.box({ x0: x - 2.2, x1: x + 2.2, y0: Math.min(y0, y1), y1: Math.max(y0, y1) });
    return this.strokePath(d, width);
  }

  /** Room that is taken without ink. */
  box(b: Box): this {
    this.inks.push({
      kind: this.kind,
      sign: this.number,
      family: this.family,
      x0: b.x0,
      y0: b.y0,
      x1: b.x1,
      y1: b.y1,
    });
    return this;
  }

  /** Puts in what was drawn elsewhere. */
  place(f: Fragment, dx: number, dy: number): this {
    if (f.svg === '') return this;
    for (const i of f.ink) {
      this.inks.push({
        kind: i.kind,
        sign: i.sign,
        family: i.family,
        x0: i.x0 + dx,
        y0: i.y0 + dy,
        x1: i.x1 + dx,
        y1: i.y1 + dy,
      });
    }
    this.out.push(`<g transform="translate(${num(dx)} ${num(dy)})">${f.svg}</g>`);
    return this;
  }

  /** Keeps room for what will be drawn later, such as the stems under a beam. */
  reserve(b: Box): this {
    this.reserved.push(b);
    return this;
  }

  get taken(): readonly Box[] {
    return this.reserved.length === 0 ? this.inks : [...this.inks, ...this.reserved];
  }

  get ink(): readonly Ink[] {
    return this.inks;
  }

  get svg(): string {
    return this.out.join('');
  }

  done(): Fragment {
    return { ink: this.inks, taken: this.taken, svg: this.svg };
  }

  private strokePath(d: string, width: number, dash?: string): this {
    const dashes = dash === undefined ? '' : ` stroke-dasharray="${dash}"`;
    this.out.push(
      `<path d="${d}" fill="none" stroke="currentColor" stroke-width="${num(width)}"${dashes}${this.classes}/>`,
    );
    return this;
  }

  private slantedBoxes(a: Point, b: Point, width: number): void {
    const half = width / 2;
    const flat = Math.min(Math.abs(b.x - a.x), Math.abs(b.y - a.y));
    const pieces = Math.max(1, Math.min(24, Math.ceil(flat / 1.5)));
    for (let i = 0; i < pieces; i++) {
      const xa = a.x + ((b.x - a.x) * i) / pieces;
      const xb = a.x + ((b.x - a.x) * (i + 1)) / pieces;
      const ya = a.y + ((b.y - a.y) * i) / pieces;
      const yb = a.y + ((b.y - a.y) * (i + 1)) / pieces;
      // A line that is nearly upright is half its thickness wide to either side, and the other way round.
      const dx = Math.abs(b.x - a.x) > Math.abs(b.y - a.y) ? 0 : half;
      const dy = dx === 0 ? half : 0;
      this.box({
        x0: Math.min(xa, xb) - dx,
        y0: Math.min(ya, yb) - dy,
        x1: Math.max(xa, xb) + dx,
        y1: Math.max(ya, yb) + dy,
      });
    }
  }
}

function corners(points: readonly Point[]): string {
  return points.map((p, i) => `${i === 0 ? 'M' : 'L'}${num(p.x)} ${num(p.y)}`).join('');
}

/** The ink of a musical sign with its origin at (x, y). */
export function glyphBox(name: GlyphName, x: number, y: number, scale = 1): Box {
  const m = measureText(GLYPHS[name], 'music', MUSIC_SIZE * scale);
  return { x0: x + m.x0, y0: y + m.y0, x1: x + m.x1, y1: y + m.y1 };
}

/** Two decimals: a hundredth of a unit is far below what a printer shows. */
export function num(n: number): string {
  const r = Math.round(n * 100) / 100;
  return String(r === 0 ? 0 : r);
}

/** Text from a file stays text. */
export function escapeText(s: string): string {
  return s.replace(/[&<>"]/gu, (c) => `&#${c.charCodeAt(0)};`);
}
