import { METRICS } from './metrics-data';

/** The faces of the score: signs, and the text font plain, bold and slanted. */
export type Face = 'music' | 'text' | 'bold' | 'italic';

/** Extent of a text that starts at (0, 0): where the next one would start, and its ink; y downwards. */
export interface TextExtent {
  readonly advance: number;
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
  /** False where a letter is in none of the fonts; its width is then a guess, on the wide side. */
  readonly known: boolean;
}

type Glyph = readonly [advance: number, x0: number, y0: number, x1: number, y1: number];

const TABLES = {
  music: read(METRICS.music),
  text: read(METRICS.text),
  bold: read(METRICS.bold),
};

function read(packed: string): ReadonlyMap<number, Glyph> {
  const columns = packed.split(';').map((column) => column.split(',').map(Number));
  const table = new Map<number, Glyph>();
  let code = 0;
  for (const i of columns[0]!.keys()) {
    const [step, advance, x0, y0, right, y1] = columns.map((c) => c[i]!) as [number, ...Glyph];
    code += step;
    table.set(code, [advance, x0, y0, advance - right, y1]);
  }
  return table;
}

/** What a browser adds to the right of slanted letters for each unit of their height. */
const SLANT = 0.27;

/** A letter from elsewhere: wider than nearly all, so that nothing runs into it. */
const UNKNOWN: Glyph = [900, 0, -250, 900, 900];

const memo = new Map<string, TextExtent>();

/**
 * Measures a text from the generated table: the same numbers in Node, in a worker and in any
 * browser, without waiting for a font to load.
 * @param size Font size in the units that are asked back; a music font's size is four staff spaces.
 * @throws RangeError when a musical sign is not in the music font (programmer's error).
 */
export function measureText(text: string, face: Face, size: number): TextExtent {
  const key = `${face}${size} ${text}`;
  const found = memo.get(key);
  if (found !== undefined) return found;
  const extent = measure(text, face, size / 1000);
  // Words of the user could fill the memory of a page that stays open for days.
  if (memo.size > 5_000) memo.clear();
  memo.set(key, extent);
  return extent;
}

function measure(text: string, face: Face, unit: number): TextExtent {
  const table = face === 'italic' ? TABLES.text : TABLES[face];
  let advance = 0;
  let x0 = Number.POSITIVE_INFINITY;
  let y0 = Number.POSITIVE_INFINITY;
  let x1 = Number.NEGATIVE_INFINITY;
  let y1 = Number.NEGATIVE_INFINITY;
  let known = true;
  for (const letter of text) {
    let g = table.get(letter.codePointAt(0)!);
    if (g === undefined) {
      if (face === 'music') throw new RangeError(`no sign ${letter.codePointAt(0)!.toString(16)}`);
      known = false;
      g = UNKNOWN;
    }
    if (g[3] > g[1]) {
      const [left, right] = face === 'italic' ? [SLANT * g[2], SLANT * g[4]] : [0, 0];
      x0 = Math.min(x0, advance + g[1] + Math.min(0, left));
      x1 = Math.max(x1, advance + g[3] + Math.max(0, right));
      y0 = Math.min(y0, -g[4]);
      y1 = Math.max(y1, -g[2]);
    }
    advance += g[0];
  }
  if (x0 > x1) return { advance: advance * unit, x0: 0, y0: 0, x1: 0, y1: 0, known };
  return {
    advance: advance * unit,
    x0: x0 * unit,
    y0: y0 * unit,
    x1: x1 * unit,
    y1: y1 * unit,
    known,
  };
}
