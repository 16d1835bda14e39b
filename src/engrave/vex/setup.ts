import { Element, Metrics, MetricsDefaults } from 'vexflow/core';
import { measureText } from '../font/measure';
import { MUSIC_SIZE } from '../ink/pen';

/*
 * Makes VexFlow measure with our table, so that it needs no canvas and no loaded font and gives the
 * same numbers everywhere, and spares it the deep copies that took a third of its time.
 */

/** VexFlow's music fonts are given in points and are four staff spaces high, like ours. */
const PIXELS_A_POINT = 4 / 3;

/** How large small notes are beside others; VexFlow looks sizes up by the category of an element. */
export const NOTE_SIZES = { PlacedNote: 1, GraceHead: 0.66, RhythmHead: 0.68 } as const;
for (const [category, fontScale] of Object.entries(NOTE_SIZES)) {
  MetricsDefaults[category] = { fontScale };
}
// A stem goes on to the end of its flag; by default it ends a little before.
MetricsDefaults.Stem.heightAdjustmentForFlag = 0;

type Font = ReturnType<typeof Metrics.getFontInfo>;
type Style = ReturnType<typeof Metrics.getStyle>;

const values = new Map<string, unknown>();
const lookUp = Metrics.get.bind(Metrics);
Metrics.get = (key, otherwise) => {
  let value = values.get(key);
  if (value === undefined) {
    value = lookUp(key);
    values.set(key, value);
  }
  return value ?? otherwise;
};

const fonts = new Map<string, Font>();
Metrics.getFontInfo = (category) => {
  let font = fonts.get(category);
  if (font === undefined) {
    const points = Metrics.get(`${category}.fontSize`) * Metrics.get(`${category}.fontScale`);
    font = { family: 'music', size: points, weight: 'normal', style: 'normal' };
    fonts.set(category, font);
  }
  // Some elements set their size in what they are given.
  return { ...font };
};

// Colours and thicknesses are the pen's.
Metrics.getStyle = (): Style => ({});

/** What of an element is measured, and where it keeps the result. */
interface Measured {
  readonly _text: string;
  readonly _fontInfo: Font;
  _textMetrics: Partial<TextMetricsLike>;
  _width: number;
  _height: number;
  metricsValid: boolean;
}

interface TextMetricsLike {
  readonly width: number;
  readonly actualBoundingBoxAscent: number;
  readonly actualBoundingBoxDescent: number;
}

const prototype = Element.prototype as unknown as { measureText: (this: Measured) => unknown };
prototype.measureText = function measure() {
  const m = measureText(this._text, 'music', sizeOf(this._fontInfo));
  this._textMetrics = {
    width: m.advance,
    actualBoundingBoxAscent: -m.y0,
    actualBoundingBoxDescent: m.y1,
  };
  this._width = m.advance;
  this._height = m.y1 - m.y0;
  this.metricsValid = true;
  return this._textMetrics;
};

/** Size of a font of VexFlow's in our units. */
export function sizeOf(font: Pick<Font, 'size'>): number {
  return Number(font.size) * PIXELS_A_POINT;
}

/** The font of a sign that is smaller than others. */
export function fontOf(scale: number): Font {
  return {
    family: 'music',
    size: (MUSIC_SIZE * scale) / PIXELS_A_POINT,
    weight: 'normal',
    style: 'normal',
  };
}
