import { beamsOfValue, NOTE_VALUES, type NoteValue } from '../../core/phrase/note-value';
import type { NoteId } from '../../core/phrase/types';
import { GLYPHS, type GlyphName } from '../font/glyphs';
import { measureText } from '../font/measure';
import type { Box } from '../ink/box';
import { glyphBox, MUSIC_SIZE, type Pen, SPACE } from '../ink/pen';
import type { HeadShape, ScoreItem, StemDirection } from '../score/score';
import { drawVexNote, STEM_WIDTH, type VexHead, type VexStem } from '../vex/notes';

/** A stem alone is an octave long. */
export const STEM_LENGTH = 3.5 * SPACE;

/** Where one head stands; x from the origin of its column. */
export interface HeadPlace {
  readonly id: NoteId;
  readonly x0: number;
  readonly x1: number;
  readonly y: number;
  /** How many heads it stands away from the stem's proper side, beside a second or a unison. */
  readonly column: number;
}

/** The heads of one item and where its stem is. */
export interface HeadsPlace {
  readonly heads: readonly HeadPlace[];
  readonly glyphs: readonly GlyphName[];
  /** Where heads on the stem's proper side begin. */
  readonly left: number;
  /** Width of a head that is not displaced. */
  readonly width: number;
  /** Middle of the stem. */
  readonly stemX: number;
  /** Where the stem leaves the heads: at the head furthest from its end. */
  readonly stemStart: number;
  /** y of the head nearest to the stem's end. */
  readonly stemHead: number;
}

const HEADS: Readonly<Record<HeadShape, readonly [GlyphName, GlyphName, GlyphName]>> = {
  normal: ['noteheadWhole', 'noteheadHalf', 'noteheadBlack'],
  x: ['noteheadXWhole', 'noteheadXHalf', 'noteheadXBlack'],
  diamond: ['noteheadDiamondWhole', 'noteheadDiamondHalf', 'noteheadDiamondBlack'],
};

/** How far from the middle of a head its stem begins, in staff spaces. */
const ATTACH: Readonly<Record<HeadShape, number>> = { normal: 0.168, x: 0.43, diamond: 0 };

/** The glyph of a head: whole, half, or filled for anything shorter. */
export function headGlyph(shape: HeadShape, value: NoteValue): GlyphName {
  return HEADS[shape][Math.min(2, NOTE_VALUES.indexOf(value))]!;
}

/** Whether a note of this value has a stem. */
export function hasStem(value: NoteValue): boolean {
  return value !== 'whole';
}

/**
 * Sets the heads of a chord to either side of the stem, so that seconds and unisons stand beside
 * each other: the first head on the stem's proper side is the lowest when it points up, else the
 * highest.
 * @param dx How far the whole chord stands to the right of the column's origin.
 */
export function placeHeads(item: ScoreItem, dx: number): HeadsPlace {
  const { notes, stem } = item;
  const value = item.written.value;
  const glyphs = notes.map((n) => headGlyph(n.head, value));
  const widths = glyphs.map((g) => measureText(GLYPHS[g], 'music', MUSIC_SIZE).advance);
  const columns = columnsOf(
    notes.map((n) => n.y),
    stem,
  );
  const main = Math.max(...widths.filter((_, i) => columns[i] === 0));
  const step = main - STEM_WIDTH;
  const heads = notes.map((n, i): HeadPlace => {
    const width = widths[i]!;
    const side = stem === 'up' ? columns[i]! * step : -columns[i]! * step;
    // Heads of another shape are narrower; they keep the stem's side.
    const inset = stem === 'up' ? main - width : 0;
    const x0 = dx + side + (columns[i] === 0 ? inset : 0);
    return { id: n.note.id, x0, x1: x0 + width, y: n.y, column: columns[i]! };
  });
  const far = stem === 'up' ? notes[0]! : notes.at(-1)!;
  const near = stem === 'up' ? notes.at(-1)! : notes[0]!;
  const attach = ATTACH[far.head] * SPACE;
  return {
    heads,
    glyphs,
    left: dx,
    width: main,
    stemX: stem === 'up' ? dx + main - STEM_WIDTH / 2 : dx + STEM_WIDTH / 2,
    stemStart: far.y + (stem === 'up' ? -attach : attach),
    stemHead: near.y,
  };
}

/** For each head, from the lowest, how many heads it stands away from the stem's proper side. */
function columnsOf(ys: readonly number[], stem: StemDirection): number[] {
  const order = ys.map((_, i) => i);
  if (stem === 'down') order.reverse();
  const columns = ys.map(() => 0);
  const placed: number[] = [];
  for (const i of order) {
    let column = 0;
    while (placed.some((j) => columns[j] === column && Math.abs(ys[j]! - ys[i]!) < SPACE)) column++;
    columns[i] = column;
    placed.push(i);
  }
  return columns;
}

/** A head that both voices have: under both their names, or left out where the other draws it. */
export interface SharedHead {
  readonly index: number;
  readonly family: string | null;
}

/**
 * Draws a written note: heads with their ledger lines, and stem and flag where it stands alone.
 * @param end End of the stem; null under a beam and without a stem.
 */
export function drawNote(
  pen: Pen,
  place: HeadsPlace,
  item: ScoreItem,
  end: number | null,
  marked: ReadonlySet<NoteId>,
  shared: SharedHead | null,
): void {
  const { value } = item.written;
  const heads = place.heads.map(
    (h, i): VexHead => ({
      x0: h.x0,
      y: h.y,
      shape: item.notes[i]!.head,
      className: marked.has(h.id) ? 'dw-changed' : '',
      family: shared?.index === i ? shared.family : pen.group,
    }),
  );
  const stem = end === null ? null : aloneStem(place.stemX, place.stemStart, end, item.stem, value);
  const isBeside = (_: VexHead, i: number) => place.heads[i]!.column > 1;
  const near = heads.filter((h, i) => !isBeside(h, i));
  drawVexNote(pen, near, place.left, value, item.stem, stem);
  // VexFlow knows two sides of a stem; a third head beside a unison is a note of its own.
  for (const h of heads.filter(isBeside)) drawVexNote(pen, [h], h.x0, value, item.stem, null);
}

/** A stem with the flags of its value. @param end Where the flags are hung up. */
export function aloneStem(
  x: number,
  from: number,
  end: number,
  direction: StemDirection,
  value: NoteValue,
  scale = 1,
): VexStem {
  const flags = beamsOfValue(value);
  if (flags === 0) return { x, from, to: end, flag: false };
  const up = direction === 'up';
  const box = glyphBox(FLAGS[flags - 1]![up ? 0 : 1], 0, end, scale);
  // The stem goes on to the outermost flag.
  return { x, from, to: up ? box.y0 : box.y1, flag: true };
}

const FLAGS: readonly (readonly [GlyphName, GlyphName])[] = [
  ['flag8thUp', 'flag8thDown'],
  ['flag16thUp', 'flag16thDown'],
  ['flag32ndUp', 'flag32ndDown'],
  ['flag64thUp', 'flag64thDown'],
  ['flag128thUp', 'flag128thDown'],
];

/** How much longer than an octave a stem has to be for its flags, in staff spaces. */
const FLAG_ROOM = [0, 0, 0.6, 1.4, 2.2] as const;

/**
 * The end of a stem that stands alone: an octave from its nearest head, longer for many flags or
 * tremolo strokes, and never short of the middle line.
 */
export function stemEnd(
  place: HeadsPlace,
  stem: StemDirection,
  value: NoteValue,
  tremolo: number,
  scale = 1,
): number {
  const flags = beamsOfValue(value);
  const extra = flags === 0 ? 0 : FLAG_ROOM[flags - 1]! * SPACE;
  const length = (STEM_LENGTH + extra + tremoloRoom(tremolo, value)) * scale;
  const middle = 2 * SPACE;
  if (stem === 'up') {
    const end = place.stemHead - length;
    return scale === 1 ? Math.min(end, middle) : end;
  }
  const end = place.stemHead + length;
  return scale === 1 ? Math.max(end, middle) : end;
}

/** Room that the stem of a note under a beam will take; how long it gets is not known yet. */
export function beamedStem(place: HeadsPlace, stem: StemDirection): Box {
  const { stemX: x, stemHead, stemStart } = place;
  const end = stemHead + (stem === 'up' ? -BEAMED_ROOM : BEAMED_ROOM);
  return {
    x0: x - STEM_WIDTH / 2,
    x1: x + STEM_WIDTH / 2,
    y0: Math.min(stemStart, end),
    y1: Math.max(stemStart, end),
  };
}

const BEAMED_ROOM = 14 * SPACE;

/** From the nearest head to the middle of tremolo strokes. */
export function tremoloPlace(strokes: number): number {
  return 12 + 4 * strokes;
}

/** How much longer a stem has to be for its tremolo strokes, with flags or beams at its end. */
export function tremoloRoom(strokes: number, value: NoteValue): number {
  if (strokes === 0) return 0;
  const flags = beamsOfValue(value);
  const inner = flags === 0 ? 0 : 4 + 7.5 * flags + (flags === 1 ? 6 : 0);
  return Math.max(0, tremoloPlace(strokes) + 4 * strokes + inner - STEM_LENGTH + 4);
}

/** Strokes through the stem near its head; over the note where there is no stem. */
export function drawTremolo(
  pen: Pen,
  place: HeadsPlace,
  stem: StemDirection,
  value: NoteValue,
  strokes: 1 | 2 | 3,
): void {
  const glyph = `tremolo${strokes}` as const;
  pen.sign('tremolo');
  if (!hasStem(value)) {
    const top = Math.min(...place.heads.map((h) => h.y));
    const x = Math.min(...place.heads.map((h) => h.x0)) + place.width / 2;
    pen.glyph(glyph, x, top - 9 - glyphBox(glyph, 0, 0).y1);
    return;
  }
  const away = tremoloPlace(strokes);
  pen.glyph(glyph, place.stemX, place.stemHead + (stem === 'up' ? -away : away));
}
