const SEGMENTER = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** Code points that take two columns in a terminal (Unicode Standard Annex 11, East Asian Width). */
const WIDE: readonly (readonly [number, number])[] = [
  [0x1100, 0x115f],
  [0x2e80, 0x303e],
  [0x3041, 0xa4cf],
  [0xac00, 0xd7a3],
  [0xf900, 0xfaff],
  [0xfe30, 0xfe6f],
  [0xff00, 0xff60],
  [0xffe0, 0xffe6],
  [0x1f300, 0x1f64f],
  [0x1f680, 0x1f6ff],
  [0x1f900, 0x1faff],
  [0x20000, 0x3fffd],
];

const INVISIBLE = /^[\p{M}\p{Cf}]+$/u;

/** What stands in one place of a line, and how many columns it takes there. */
export interface Grapheme {
  readonly text: string;
  readonly width: 0 | 1 | 2;
}

/** Texts whose every code unit is one character of one column: nearly all that is drawn. */
const SIMPLE = /^[\x20-\x7e\u266d\u266f\u2192]*$/u;

/** What a reader takes for one character each, with its columns in a terminal. */
export function graphemesOf(text: string): Iterable<Grapheme> {
  return SIMPLE.test(text) ? Array.from(text, (c) => ({ text: c, width: 1 })) : segmentsOf(text);
}

function* segmentsOf(text: string): Generator<Grapheme> {
  for (const { segment } of SEGMENTER.segment(text)) {
    const code = segment.codePointAt(0)!;
    if (INVISIBLE.test(segment)) yield { text: segment, width: 0 };
    else {
      const wide = WIDE.some(([from, to]) => code >= from && code <= to);
      yield { text: segment, width: wide ? 2 : 1 };
    }
  }
}

/** Columns a text takes in a terminal with a font of equal widths. */
export function columnsOf(text: string): number {
  if (SIMPLE.test(text)) return text.length;
  let width = 0;
  for (const g of graphemesOf(text)) width += g.width;
  return width;
}

/** The text in lines of at most `width` columns, broken at spaces, or inside words longer than a line. */
export function wrapText(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  let used = 0;
  for (const word of text.split(/\s+/u).filter((w) => w !== '')) {
    for (const piece of piecesOf(word, width)) {
      const size = columnsOf(piece);
      if (used > 0 && used + 1 + size > width) {
        lines.push(line);
        line = '';
        used = 0;
      }
      line += used > 0 ? ` ${piece}` : piece;
      used += size + (used > 0 ? 1 : 0);
    }
  }
  if (used > 0) lines.push(line);
  return lines;
}

function piecesOf(word: string, width: number): string[] {
  if (columnsOf(word) <= width) return [word];
  const pieces: string[] = [];
  let piece = '';
  let used = 0;
  for (const g of graphemesOf(word)) {
    if (used + g.width > width && piece !== '') {
      pieces.push(piece);
      piece = '';
      used = 0;
    }
    piece += g.text;
    used += g.width;
  }
  pieces.push(piece);
  return pieces;
}
