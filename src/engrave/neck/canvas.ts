import { type Face, measureText } from '../font/measure';
import type { Box } from '../ink/box';
import { escapeText, num } from '../ink/pen';

/** What is written on a neck and has to be read; nothing of it may touch anything else of it. */
export type LabelKind = 'tag' | 'order' | 'fret' | 'string' | 'hand' | 'title' | 'ghost';

export interface Label extends Box {
  readonly kind: LabelKind;
  readonly text: string;
}

/** Where a text stands in relation to its x. */
export type Anchor = 'start' | 'middle' | 'end';

/** Writes SVG text and keeps the box of everything that is to be read. */
export class Canvas {
  private readonly out: string[] = [];
  readonly labels: Label[] = [];

  raw(svg: string): this {
    this.out.push(svg);
    return this;
  }

  /** Straight stroke. */
  line(x0: number, y0: number, x1: number, y1: number, width: number, opacity = 1): this {
    return this.stroke(`M${num(x0)} ${num(y0)}L${num(x1)} ${num(y1)}`, width, opacity);
  }

  stroke(d: string, width: number, opacity = 1, dash = ''): this {
    const o = opacity === 1 ? '' : ` stroke-opacity="${num(opacity)}"`;
    const a = dash === '' ? '' : ` stroke-dasharray="${dash}"`;
    return this.raw(
      `<path d="${d}" fill="none" stroke="currentColor" stroke-width="${num(width)}" stroke-linecap="round"${o}${a}/>`,
    );
  }

  /** A text on the base line y. Its box is kept. */
  text(
    kind: LabelKind,
    text: string,
    x: number,
    y: number,
    {
      face = 'text',
      size = 11,
      anchor = 'middle',
      fill = '',
      opacity = 1,
      className = '',
      rim = false,
    }: {
      readonly face?: Face;
      readonly size?: number;
      readonly anchor?: Anchor;
      readonly fill?: string;
      readonly opacity?: number;
      readonly className?: string;
      /** A rim of paper around the letters, where lines may run behind them. */
      readonly rim?: boolean;
    } = {},
  ): Box {
    const m = measureText(text, face, size);
    const left =
      anchor === 'start' ? x - m.x0 : anchor === 'end' ? x - m.x1 : x - (m.x0 + m.x1) / 2;
    const box = { x0: left + m.x0, x1: left + m.x1, y0: y + m.y0, y1: y + m.y1 };
    if (kind !== 'tag' && kind !== 'ghost') this.labels.push({ kind, text, ...box });
    const weight = face === 'bold' ? ' font-weight="700"' : '';
    const colour = fill === '' ? '' : ` fill="${fill}"`;
    const faint = opacity === 1 ? '' : ` fill-opacity="${num(opacity)}"`;
    const classes = [className, ...(rim ? ['dw-neck-rim'] : [])].filter((k) => k !== '').join(' ');
    const cls = classes === '' ? '' : ` class="${classes}"`;
    const edge = rim ? ' stroke="#fff" stroke-width="3" paint-order="stroke"' : '';
    const width = m.known ? '' : ` textLength="${num(m.advance)}" lengthAdjust="spacingAndGlyphs"`;
    this.raw(
      `<text x="${num(left)}" y="${num(y)}" font-size="${num(size)}"${weight}${edge}${colour}${faint}${width}${cls}>${escapeText(text)}</text>`,
    );
    return box;
  }

  /** A tag as a whole counts as one label. */
  keep(label: Label): void {
    this.labels.push(label);
  }

  get svg(): string {
    return this.out.join('');
  }
}

/** Width of the ink of a text. */
export function textWidth(text: string, face: Face, size: number): number {
  const m = measureText(text, face, size);
  return m.x1 - m.x0;
}
