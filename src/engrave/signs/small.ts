import type { DynamicMark, PitchedNote } from '../../core/phrase/types';
import { GLYPHS, type GlyphName } from '../font/glyphs';
import { measureText } from '../font/measure';
import type { InkKind } from '../ink/kinds';
import { type Fragment, MUSIC_SIZE, Pen } from '../ink/pen';
import { widthName } from '../text/names';

/** Signs around x = 0 that stand over or under one note. */

/** A text whose middle lies at 0, on its base line. */
export function centredText(
  kind: InkKind,
  text: string,
  face: 'text' | 'bold' | 'italic',
  size: number,
): Fragment {
  const m = measureText(text, face, size);
  const pen = new Pen().sign(kind);
  pen.text(text, -(m.x0 + m.x1) / 2, 0, face, size);
  return pen.done();
}

/** A glyph of the music font (SMuFL) whose middle lies at 0. */
export function centredGlyph(kind: InkKind, glyph: GlyphName, scale = 1): Fragment {
  const m = measureText(GLYPHS[glyph], 'music', MUSIC_SIZE * scale);
  const pen = new Pen();
  pen.sign(kind).glyph(glyph, -(m.x0 + m.x1) / 2, 0, scale);
  return pen.done();
}

const DYNAMICS: Readonly<Record<DynamicMark, GlyphName>> = {
  pp: 'dynamicPP',
  p: 'dynamicPiano',
  mp: 'dynamicMP',
  mf: 'dynamicMF',
  f: 'dynamicForte',
  ff: 'dynamicFF',
};

/** A dynamic such as *mf*, in the letters of the music font. */
export function drawDynamic(value: DynamicMark): Fragment {
  return centredGlyph('dynamic', DYNAMICS[value], 0.85);
}

/** A pick stroke: down-strokes look like a bracket, up-strokes like a wedge. */
export function drawStroke(stroke: 'down' | 'up'): Fragment {
  return centredGlyph('stroke', stroke === 'down' ? 'stringsDownBow' : 'stringsUpBow', 0.72);
}

const TRILL_SCALE = 0.8;
/** Left edge of tr, and where its wavy line begins, from the middle of the note. */
const TRILL_X = -6;
const TRILL_WAVE_X = 13;

/** tr, and a wavy line up to `length` from the middle of the note where there is room for one. */
export function drawTrill(length: number): Fragment {
  const pen = new Pen();
  pen.sign('trill').glyph('ornamentTrill', TRILL_X, 0, TRILL_SCALE);
  drawWaves(pen, 'wiggleTrill', TRILL_SCALE, TRILL_WAVE_X, length, 0);
  return pen.done();
}

const VIBRATOS = {
  narrow: ['guitarVibratoStroke', 0.95],
  wide: ['guitarWideVibratoStroke', 0.8],
} as const;
const VIBRATO_X = -4;

/**
 * A wavy line up to `length` from the middle of the note, higher waves for a wide vibrato.
 * @param strings Where not all that are struck are shaken: their numbers in circles go before it, as
 *   strings are numbered over a staff (common practice).
 */
export function drawVibrato(
  kind: 'narrow' | 'wide',
  length: number,
  strings: readonly number[] = [],
): Fragment {
  const [glyph, scale] = VIBRATOS[kind];
  const pen = new Pen().sign('vibrato');
  const { y0, y1 } = measureText(GLYPHS[glyph], 'music', MUSIC_SIZE * scale);
  let x = VIBRATO_X;
  for (const s of strings) {
    drawInCircle(pen, String(s), x + CIRCLE / 2, (y0 + y1) / 2);
    x += CIRCLE + 1.5;
  }
  drawWaves(pen, glyph, scale, x, length, 2);
  return pen.done();
}

/** Across the circle around the number of a string. */
const CIRCLE = 12;

function drawInCircle(pen: Pen, text: string, x: number, y: number): void {
  const r = CIRCLE / 2;
  const m = measureText(text, 'text', 10);
  pen.text(text, x - (m.x0 + m.x1) / 2, y - (m.y0 + m.y1) / 2, 'text', 10);
  pen.frame({ x0: x - r, x1: x + r, y0: y - r, y1: y + r }, r, 0.9);
}

/** As many waves as there is room for from x to `right`. @param least Fewer do not read as a wave. */
function drawWaves(
  pen: Pen,
  glyph: GlyphName,
  scale: number,
  x: number,
  right: number,
  least: number,
): void {
  const size = MUSIC_SIZE * scale;
  const { advance, x1 } = measureText(GLYPHS[glyph], 'music', size);
  const count = Math.max(least, Math.floor((right - x - (x1 - advance)) / advance));
  if (count > 0) pen.text(GLYPHS[glyph].repeat(count), x, 0, 'music', size);
}

/** A dip with the bar: down and up again, with its depth in whole tones. */
export function drawBarDip(semitones: number): Fragment {
  const pen = new Pen();
  const label = `-${semitones === 2 ? '1' : widthName(semitones)}`;
  pen.sign('bar-dip').polyline(
    [
      { x: -7, y: -11 },
      { x: 0, y: 0 },
      { x: 7, y: -11 },
    ],
    1.2,
  );
  const m = measureText(label, 'text', 10);
  pen.text(label, -m.advance / 2, -13, 'text', 10);
  return pen.done();
}

const HARMONICS = { natural: 'N.H.', artificial: 'A.H.', pinch: 'P.H.' } as const;

/** Which kind of harmonic, and for a pinched one how far above the fret it sounds. */
export function harmonicName(h: NonNullable<PitchedNote['harmonic']>): string {
  const name = HARMONICS[h.kind];
  if (h.kind !== 'pinch') return name;
  return `${name} +${h.above === 12 ? '8' : h.above === 19 ? '12' : '15'}`;
}
