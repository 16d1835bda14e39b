import type { NoteId, Phrase } from '../../../core/phrase/types';
import { type Analysis, analyse } from '../../../core/understand/analyse';
import { wrapText } from '../../text/char-width';
import { ASCII, type Signs, TYPESET } from '../../text/signs';
import type { DegreeView } from './collect';
import { headerLines } from './header';
import { type LegendKeys, legendLines } from './legend';
import { type Rendered, renderSheet } from './render';
import { sheetOf } from './sheet-of';

/** One phrase of a text tab. */
export interface TabPart {
  readonly phrase: Phrase;
  /** The reading of the phrase, where the caller has it already. */
  readonly analysis?: Analysis;
  /** Signs that stand directly behind the frets of notes, for example to mark what changed. */
  readonly marks?: ReadonlyMap<NoteId, string>;
  /** A line over each system of the part, where several stand under each other. */
  readonly caption?: string;
}

export interface TextTabStyle {
  /** Characters in a line, 80 in a common terminal; 30 at least are used. */
  readonly width: number;
  /** Degrees under the notes: against the chord, against the key, or none (D1). */
  readonly degrees: DegreeView;
  /** Only ASCII: `b7>R` where otherwise `♭7→R` stands. */
  readonly ascii?: boolean;
  /** What the caller's marks mean, for the legend. */
  readonly markLegend?: string;
  /** Title, key, tempo and instrument over it; true when absent. */
  readonly header?: boolean;
  /** The signs in use under it; true when absent. */
  readonly legend?: boolean;
}

export type TextTabOptions = TextTabStyle & Omit<TabPart, 'phrase' | 'caption'>;

/** Lines narrower than this could not hold a label and a note. */
const NARROWEST = 30;

/**
 * The phrase as plain text for people: what it is, systems of string lines with chord symbols over
 * and degrees under them, and a legend of the signs in use. Lines are wrapped to the width at bar
 * lines, or at beats inside a bar that is longer. Every fret begins in the column of its moment;
 * value letters over the strings say how long, the count under them says when.
 *
 * What it says of the music comes back when it is read again, of one voice with its time, and the title;
 * origin and notes for students do not. Curves of bends, octaves of pinch harmonics, anchors and pins are
 * not shown.
 * @returns lines ending in line feeds; those of the strings of a system are equally long.
 */
export function writeTextTab(phrase: Phrase, options: TextTabOptions): string {
  const { analysis, marks, ...style } = options;
  const part: TabPart = {
    phrase,
    ...(analysis === undefined ? {} : { analysis }),
    ...(marks === undefined ? {} : { marks }),
  };
  return writeTextTabs([part], style);
}

/**
 * Phrases of one bar structure under each other, bar under bar and moment under moment, as before
 * and after a move; headed by the first one's title.
 * @throws RangeError when their bars differ (programmer's error).
 */
export function writeTextTabs(parts: readonly TabPart[], style: TextTabStyle): string {
  const width = Math.max(NARROWEST, style.width);
  const signs = signsOf(style);
  const { lines } = layTextTabs(parts, style);
  const first = parts[0]?.phrase;
  if (first === undefined || style.header === false) return `${lines.join('\n')}\n`;
  const header = headerLines(first, signs, width);
  const notes = parts.length === 1 ? notesForStudents(first, width) : [];
  return `${[...header, '', ...lines, ...notes].join('\n')}\n`;
}

function notesForStudents(p: Phrase, width: number): string[] {
  const { notes } = p.meta;
  if (notes === undefined) return [];
  return ['', ...notes.split('\n').flatMap((l) => (l.trim() === '' ? [''] : wrapText(l, width)))];
}

/** The systems and the legend, with the place of every note of each part. */
export function layTextTabs(parts: readonly TabPart[], style: TextTabStyle): Rendered {
  const width = Math.max(NARROWEST, style.width);
  const signs = signsOf(style);
  const used: LegendKeys = new Set();
  const sheet = sheetOf(
    parts.map((p) => ({
      phrase: p.phrase,
      analysis: p.analysis ?? analyse(p.phrase),
      degrees: style.degrees,
      marks: p.marks ?? new Map(),
      caption: p.caption ?? '',
    })),
    signs,
    used,
  );
  const { lines, places } = renderSheet(sheet, width);
  if (style.legend === false) return { lines, places };
  const marked = parts.some((p) => (p.marks?.size ?? 0) > 0);
  const extra = style.markLegend === undefined || !marked ? [] : [style.markLegend];
  const legend = legendLines(used, signs, width, extra);
  return { lines: [...lines, '', ...legend], places };
}

function signsOf(style: TextTabStyle): Signs {
  return style.ascii ? ASCII : TYPESET;
}
