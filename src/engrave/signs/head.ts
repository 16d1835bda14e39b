import type { Feel, Tempo } from '../../core/phrase/types';
import type { GlyphName } from '../font/glyphs';
import { type Fragment, Pen } from '../ink/pen';

const COUNTED: Readonly<Record<Tempo['unit'], readonly [GlyphName, boolean]>> = {
  eighth: ['metNote8thUp', false],
  quarter: ['metNoteQuarterUp', false],
  'dotted-quarter': ['metNoteQuarterUp', true],
  half: ['metNoteHalfUp', false],
};

/** As wide as the space after the sign. */
const BEFORE_EQUALS = 3.5;

/** Tempo and feel, set over the beginning: a counted value, how many a minute, and what is swung (T3). */
export function drawTempo(tempo: Tempo, feel: Feel): Fragment {
  const pen = new Pen();
  pen.sign('tempo');
  const [glyph, dotted] = COUNTED[tempo.unit];
  const scale = 0.6;
  let x = pen.glyph(glyph, 0, 0, scale).x1 + 1.5;
  if (dotted) x += pen.glyph('metAugmentationDot', x, 0, scale).advance + 1;
  x += pen.text(`= ${tempo.bpm}`, x + BEFORE_EQUALS, 0, 'text', 13).advance + BEFORE_EQUALS;
  if (feel.kind === 'swing') {
    const unit = feel.unit === 'eighth' ? 'eighths' : '16ths';
    const name =
      feel.first === 2 && feel.second === 1
        ? `Shuffle ${unit}`
        : `Swing ${unit} ${feel.first}:${feel.second}`;
    pen.text(name, x + 12, 0, 'text', 12);
  }
  return pen.done();
}

/** The bracket over an ending, open at the right where the next one follows. */
export function drawEnding(passes: readonly number[], length: number, closed: boolean): Fragment {
  const pen = new Pen();
  pen.sign('ending');
  const right = closed
    ? [
        { x: length, y: 0 },
        { x: length, y: 14 },
      ]
    : [{ x: length, y: 0 }];
  pen.polyline([{ x: 0, y: 14 }, { x: 0, y: 0 }, ...right], 1.2);
  pen.text(`${passes.join(', ')}.`, 5, 11.5, 'text', 11);
  return pen.done();
}
