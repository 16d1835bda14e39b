import { GLYPHS, type GlyphName } from '../font/glyphs';
import { measureText } from '../font/measure';
import { overlaps } from '../ink/box';
import { MUSIC_SIZE, Pen, SPACE } from '../ink/pen';
import type { Row, Side } from '../page/row';
import type { EventPlace } from '../page/thread';
import { STAFF_HEIGHT } from '../staff/frame';
import { centredGlyph } from './small';

const ARTICULATIONS: readonly {
  readonly has: 'staccato' | 'tenuto' | 'accent';
  readonly above: GlyphName;
  readonly below: GlyphName;
}[] = [
  { has: 'staccato', above: 'articStaccatoAbove', below: 'articStaccatoBelow' },
  { has: 'tenuto', above: 'articTenutoAbove', below: 'articTenutoBelow' },
  { has: 'accent', above: 'articAccentAbove', below: 'articAccentBelow' },
];

/** Staccato and tenuto stand in the space next to the head; the accent, and what has no room, outside. */
export function drawArticulations(row: Row, places: readonly EventPlace[]): void {
  for (const e of places) {
    if (!e.begins) continue;
    const p = e.first;
    const up = p.place.item.stem === 'up';
    const divided = p.bar.bar.drawn.bar.divided;
    const side: Side = divided
      ? p.place.item.voice === 0
        ? 'above'
        : 'below'
      : up
        ? 'below'
        : 'above';
    const out = side === 'above' ? -1 : 1;
    const ys = p.place.heads?.heads.map((h) => h.y) ?? [];
    let near = out < 0 ? Math.min(...ys) : Math.max(...ys);
    for (const a of ARTICULATIONS) {
      if (e.event[a.has] !== true) continue;
      const glyph = a[side];
      const m = measureText(GLYPHS[glyph], 'music', MUSIC_SIZE);
      const x = p.x + p.place.centre - (m.x0 + m.x1) / 2;
      near = spaceBeside(near, out);
      const base = near - (m.y0 + m.y1) / 2;
      const box = { x0: x + m.x0, x1: x + m.x1, y0: base + m.y0, y1: base + m.y1 };
      const grown = { x0: box.x0 - 1.5, x1: box.x1 + 1.5, y0: box.y0 - 1.5, y1: box.y1 + 1.5 };
      const onStemSide = out < 0 === up;
      const blocked = row.pen.ink.some((k) => k.kind !== 'staff-line' && overlaps(k, grown));
      if (a.has !== 'accent' && !onStemSide && !blocked) {
        row.pen.sign('articulation').glyph(glyph, x, base);
        row.settle();
      } else {
        const pen = new Pen();
        pen.sign('articulation').glyph(glyph, 0, 0);
        row.stack(side, pen.done(), x, 2.5);
      }
    }
  }
}

/** The next place outwards: a space inside the staff, so that no line runs through the sign. */
function spaceBeside(y: number, out: -1 | 1): number {
  const next = y + out * SPACE;
  const inside = next >= 0 && next <= STAFF_HEIGHT;
  return inside && next % SPACE === 0 ? next + out * (SPACE / 2) : next;
}

/** The same over small notes, one above the other. */
export function stackArticulations(row: Row, places: readonly EventPlace[], scale: number): void {
  for (const e of places) {
    if (!e.begins) continue;
    for (const a of ARTICULATIONS) {
      if (e.event[a.has] !== true) continue;
      row.stack(
        'above',
        centredGlyph('articulation', a.above, scale),
        e.first.x + e.first.place.centre,
        2,
      );
    }
  }
}
