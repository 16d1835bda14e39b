import { measureText } from '../../engrave/font/measure';
import { graphemesOf } from '../../io/text/char-width';
import { escapeXml } from './escape';

/** px; size of the title, and from one of its lines to the next. */
const SIZE = 22;
const LEADING = 28;

/** Where the title stands; px. */
export interface HeadingPlace {
  readonly left: number;
  readonly top: number;
  readonly width: number;
}

/** The title over a picture, in as many lines as it takes; height in px, 0 where there is none. */
export function headingSvg(
  title: string,
  { left, top, width }: HeadingPlace,
): { readonly svg: string; readonly height: number } {
  if (title === '') return { svg: '', height: 0 };
  const lines = linesOf(title, width);
  const texts = lines.map(
    (line, i) =>
      `<text x="${left}" y="${top + SIZE + i * LEADING}" ` +
      `font-family="'Degreewise Text',serif" font-size="${SIZE}">${escapeXml(line)}</text>`,
  );
  return {
    svg: `<title>${escapeXml(title)}</title>${texts.join('')}`,
    height: SIZE + (lines.length - 1) * LEADING,
  };
}

/** Broken at spaces, and inside words that are wider than a line. */
function linesOf(title: string, width: number): readonly string[] {
  if (fits(title, width)) return [title];
  const lines: string[] = [];
  let line = '';
  for (const piece of title.split(/\s+/u).flatMap((word) => piecesOf(word, width))) {
    const longer = line === '' ? piece : `${line} ${piece}`;
    if (line !== '' && !fits(longer, width)) {
      lines.push(line);
      line = piece;
    } else line = longer;
  }
  return [...lines, line];
}

function piecesOf(word: string, width: number): readonly string[] {
  if (fits(word, width)) return [word];
  const pieces: string[] = [];
  let piece = '';
  for (const { text } of graphemesOf(word)) {
    if (piece !== '' && !fits(piece + text, width)) {
      pieces.push(piece);
      piece = '';
    }
    piece += text;
  }
  return [...pieces, piece];
}

const fits = (text: string, width: number) => measureText(text, 'text', SIZE).advance <= width;
