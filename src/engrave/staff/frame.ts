import type { Key, Meter } from '../../core/phrase/types';
import { GLYPHS, type GlyphName } from '../font/glyphs';
import { measureText } from '../font/measure';
import { MUSIC_SIZE, type Pen, SPACE } from '../ink/pen';
import { type Clef, shownFifths } from '../score/clef';
import { drawVexClef, drawVexMeter, drawVexSignature } from '../vex/staff';

export const STAFF_HEIGHT = 4 * SPACE;
export const LINE_WIDTH = 1.1;
export const THIN_BAR = 1.6;
const THICK_BAR = 5;

/** What a line of music begins with. */
export interface Prefix {
  readonly clef: Clef;
  readonly key: Key;
  /** Only where it is shown. */
  readonly meter: Meter | null;
}

/** Width of clef and signature and, if shown, meter, with the room after them. */
export function prefixWidth(p: Prefix): number {
  return drawPrefix(null, p, 0);
}

/** Draws clef, signature and meter from x on. @returns where the music may begin. */
export function drawPrefix(pen: Pen | null, p: Prefix, x: number): number {
  let at = x + 6;
  if (pen !== null) drawVexClef(pen, p.clef, at);
  at += width(p.clef.glyph) + 7;
  const fifths = shownFifths(p.key);
  if (fifths !== 0) {
    const gap = fifths > 0 ? 0.4 : 0.8;
    if (pen !== null) drawVexSignature(pen, p.key, p.clef, at, gap);
    at += Math.abs(fifths) * (width(fifths > 0 ? 'accidentalSharp' : 'accidentalFlat') + gap) + 7;
  }
  if (p.meter !== null) at = drawMeter(pen, p.meter, at) + 6;
  return at + 3;
}

/** Draws the two numbers of a meter one over the other. @returns its right edge. */
export function drawMeter(pen: Pen | null, m: Meter, x: number, top = 0): number {
  if (pen !== null) drawVexMeter(pen, m, x, top);
  return x + Math.max(digitsWidth(m.beats), digitsWidth(m.beatType));
}

function digitsWidth(n: number): number {
  return [...String(n)].reduce((sum, d) => sum + width(`timeSig${d}` as GlyphName), 0);
}

function width(g: GlyphName): number {
  return measureText(GLYPHS[g], 'music', MUSIC_SIZE).advance;
}

/** What stands between two bars or at the end. */
export type BarlineKind = 'single' | 'final' | 'repeat-start' | 'repeat-end' | 'repeat-both';

const DOT_ROOM = 8;

/** Room a bar line takes from its left edge. */
export function barlineWidth(kind: BarlineKind): number {
  switch (kind) {
    case 'single':
      return THIN_BAR;
    case 'final':
      return THIN_BAR + 4 + THICK_BAR;
    case 'repeat-end':
      return DOT_ROOM + THIN_BAR + 4 + THICK_BAR;
    case 'repeat-start':
      return THICK_BAR + 4 + THIN_BAR + DOT_ROOM;
    case 'repeat-both':
      return 2 * DOT_ROOM + 2 * THIN_BAR + 8 + THICK_BAR;
  }
}

/**
 * Draws a bar line from y `top` to `bottom` with its left edge at x.
 * @param dots y of the two repeat dots.
 */
export function drawBarline(
  pen: Pen,
  kind: BarlineKind,
  x: number,
  top: number,
  bottom: number,
  dots: readonly number[],
): void {
  pen.sign('barline');
  let at = x;
  const stroke = (w: number) => {
    pen.line(at + w / 2, top, at + w / 2, bottom, w);
    at += w;
  };
  const dotted = () => {
    for (const y of dots) pen.glyph('repeatDot', at, y);
    at += DOT_ROOM - 4;
  };
  if (kind === 'repeat-end' || kind === 'repeat-both') {
    dotted();
    at += 4;
  }
  if (kind !== 'repeat-start') stroke(THIN_BAR);
  if (kind === 'single') return;
  if (kind !== 'repeat-start') at += 4;
  stroke(THICK_BAR);
  if (kind === 'repeat-start' || kind === 'repeat-both') {
    at += 4;
    stroke(THIN_BAR);
    at += 4;
    dotted();
  }
}
