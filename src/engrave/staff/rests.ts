import type { NoteValue } from '../../core/phrase/note-value';
import type { GlyphName } from '../font/glyphs';
import type { Box } from '../ink/box';
import { glyphBox, SPACE } from '../ink/pen';

const RESTS: Readonly<Record<NoteValue, GlyphName>> = {
  whole: 'restWhole',
  half: 'restHalf',
  quarter: 'restQuarter',
  eighth: 'rest8th',
  '16th': 'rest16th',
  '32nd': 'rest32nd',
  '64th': 'rest64th',
  '128th': 'rest128th',
};

/** How far above its middle the dot of a rest stands, in staff spaces: in the space of its upper hook. */
const DOT_ABOVE: Readonly<Record<NoteValue, number>> = {
  whole: -0.5,
  half: 0.5,
  quarter: 0.5,
  eighth: 0.5,
  '16th': 0.5,
  '32nd': 1.5,
  '64th': 1.5,
  '128th': 2.5,
};

/** Room between a rest and the other voice. */
const CLEARANCE = 3;

/** A rest at its place: the glyph's origin, and where its dot goes. */
export interface RestPlace {
  readonly glyph: GlyphName;
  readonly y: number;
  readonly dotY: number;
}

/**
 * Where a rest stands: in the middle of the staff, or, beside another voice, as far up or down in
 * whole spaces as it takes to be clear of it.
 * @param side 0 alone, −1 the upper of two voices, +1 the lower.
 * @param others What the other voice has here.
 */
export function placeRest(value: NoteValue, side: -1 | 0 | 1, others: readonly Box[]): RestPlace {
  const base = value === 'whole' ? SPACE : 2 * SPACE;
  let y = base + side * 2 * SPACE;
  let glyph = glyphAt(value, y);
  if (side !== 0) {
    const blocked = () => {
      const box = glyphBox(glyph, 0, y);
      return others.some((o) => o.y0 < box.y1 + CLEARANCE && box.y0 < o.y1 + CLEARANCE);
    };
    for (let tries = 0; tries < 20 && blocked(); tries++) {
      y += side * SPACE;
      glyph = glyphAt(value, y);
    }
  }
  return { glyph, y, dotY: y - DOT_ABOVE[value] * SPACE };
}

/** The glyph of a rest of this value. */
export function restGlyph(value: NoteValue): GlyphName {
  return RESTS[value];
}

/** A whole or half rest off the staff brings its own piece of line. */
function glyphAt(value: NoteValue, y: number): GlyphName {
  const off = y < 0 || y > 4 * SPACE;
  if (off && value === 'whole') return 'restWholeLegerLine';
  if (off && value === 'half') return 'restHalfLegerLine';
  return RESTS[value];
}
