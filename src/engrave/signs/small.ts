import type { DynamicMark, PitchedNote } from '../../core/phrase/types';
import { GLYPHS, type GlyphName } from '../font/glyphs';
import { measureText } from '../font/measure';
import type { InkKind } from '../ink/kinds';
import { type Fragment, MUSIC_SIZE, Pen } from '../ink/pen';
import { widthName } from '../text/names';

/** Signs around x = 0 that stand over or under one note. */

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

export function drawDynamic(value: DynamicMark): Fragment {
  return centredGlyph('dynamic', DYNAMICS[value], 0.85);
}

/** A pick stroke: down-strokes look like a bracket, up-strokes like a wedge. */
export function drawStroke(stroke: 'down' | 'up'): Fragment {
  return centredGlyph('stroke', stroke === 'down' ? 'stringsDownBow' : 'stringsUpBow', 0.72);
}

/** tr and a wavy line of about the given length; the accidental of the upper note where it has one. */
export function drawTrill(length: number): Fragment {
  const pen = new Pen();
  pen.sign('trill').glyph('ornamentTrill', -6, 0, 0.8);
  const advance = measureText(GLYPHS.wiggleTrill, 'music', MUSIC_SIZE * 0.8).advance;
  const count = Math.max(1, Math.min(40, Math.floor((length - 14) / advance)));
  pen.text(GLYPHS.wiggleTrill.repeat(count), 13, 0, 'music', MUSIC_SIZE * 0.8);
  return pen.done();
}

/** A wavy line for as long as the note lasts, higher waves for a wide vibrato. */
export function drawVibrato(kind: 'narrow' | 'wide', length: number): Fragment {
  const glyph = kind === 'narrow' ? 'guitarVibratoStroke' : 'guitarWideVibratoStroke';
  const scale = kind === 'narrow' ? 0.95 : 0.8;
  const advance = measureText(GLYPHS[glyph], 'music', MUSIC_SIZE * scale).advance;
  const count = Math.max(3, Math.min(30, Math.floor(length / advance)));
  const pen = new Pen();
  pen.sign('vibrato');
  pen.text(GLYPHS[glyph].repeat(count), -4, 0, 'music', MUSIC_SIZE * scale);
  return pen.done();
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
