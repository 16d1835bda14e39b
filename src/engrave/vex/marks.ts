import { Accidental, Dot, Note, NoteHead } from 'vexflow/core';
import type { NoteValue } from '../../core/phrase/note-value';
import { GLYPHS, type GlyphName } from '../font/glyphs';
import type { Pen } from '../ink/pen';
import type { AccidentalSign } from '../score/score';
import { PenContext } from './context';
import { durationOf, STAFF } from './notes';
import { fontOf } from './setup';

/** A note that is only a place, for signs that ask their note where to stand. */
class Place extends Note {
  left = 0;
  middle = 0;

  override getModifierStartXY(): { x: number; y: number } {
    return { x: this.left, y: this.middle };
  }
}

let shared: Place | null = null;

function placeAt(x: number, y: number): Place {
  shared ??= new Place({ duration: '4' }).setStave(STAFF);
  shared.left = x;
  shared.middle = y;
  return shared;
}

const TYPES: Readonly<Record<AccidentalSign, string>> = {
  accidentalFlat: 'b',
  accidentalNatural: 'n',
  accidentalSharp: '#',
  accidentalDoubleSharp: '##',
  accidentalDoubleFlat: 'bb',
};

/** An accidental with its left edge at x; what stands where is decided elsewhere. */
export function drawVexAccidental(
  pen: Pen,
  sign: AccidentalSign,
  x: number,
  y: number,
  scale = 1,
): void {
  const drawn = new Accidental(TYPES[sign]);
  drawn.setNote(placeAt(0, y)).setIndex(0);
  if (scale !== 1) drawn.fontInfo = fontOf(scale);
  // VexFlow sets it by its right edge.
  placeAt(x + drawn.getWidth(), y);
  pen.sign('accidental');
  drawn.setContext(new PenContext(pen, {}, {}).forVexFlow).draw();
}

class PlacedDot extends Dot {
  /** Without looking up the font of its note: all are the music font. */
  override setNote(note: Note): this {
    this.note = note;
    return this;
  }
}

/** An augmentation dot with its left edge at x. */
export function drawVexDot(pen: Pen, x: number, y: number, scale = 1): void {
  const dot = new PlacedDot();
  dot.setNote(placeAt(x, y)).setIndex(0);
  if (scale !== 1) dot.fontInfo = fontOf(scale);
  pen.sign('dot');
  dot.setContext(new PenContext(pen, {}, {}).forVexFlow).draw();
}

/** A rest with its glyph's origin at (x, y); off the staff it brings its own piece of line. */
export function drawVexRest(
  pen: Pen,
  value: NoteValue,
  glyph: GlyphName,
  x: number,
  y: number,
  scale = 1,
): void {
  const head = new NoteHead({
    duration: durationOf(value),
    noteType: 'r',
    line: 3,
    customGlyphCode: GLYPHS[glyph],
    x,
    y,
  });
  if (scale !== 1) head.fontInfo = fontOf(scale);
  head.setContext(new PenContext(pen, { notehead: 'rest' }, {}).forVexFlow).draw();
}
