import { beamsOfValue } from '../../core/phrase/note-value';
import type { Box } from '../ink/box';
import { distanceBetween, placeLeft } from '../ink/contour';
import { glyphBox, Pen, SPACE } from '../ink/pen';
import type { AccidentalSign, ScoreColumn, ScoreItem } from '../score/score';
import { drawVexAccidental, drawVexDot, drawVexRest } from '../vex/marks';
import { drawGraces } from './graces';
import {
  beamedStem,
  drawNote,
  drawTremolo,
  type HeadsPlace,
  hasStem,
  placeHeads,
  type SharedHead,
  stemEnd,
} from './heads';
import { drawLeftOfHeads, drawRightOfHeads } from './ornaments';
import { drawParentheses, inParentheses } from './parentheses';
import type { ColumnStyle, ItemPlace, StaffColumn } from './places';
import { placeRest } from './rests';

/**
 * Draws what one moment of a bar has on the staff and what moves with it: heads, ledger lines,
 * accidentals, dots, stems and flags that stand alone, graces, targets of bends, rests. The origin
 * is the left edge of the first voice's heads.
 */
export function drawStaffColumn(column: ScoreColumn, style: ColumnStyle): StaffColumn {
  const pen = new Pen();
  const places = placeItems(column);
  for (const p of places) drawItem(pen, p, style);
  drawRests(pen, places, style.divided);
  const noted = places.filter((p) => p.heads !== null);
  drawParentheses(pen, noted);
  drawDots(pen, noted);
  drawAccidentals(pen, noted);
  for (const p of noted) drawLeftOfHeads(pen, p, style);
  for (const p of noted) drawGraces(pen, p);
  for (const p of noted) drawRightOfHeads(pen, p, style);
  return { fragment: pen.done(), items: places };
}

function placeItems(column: ScoreColumn): ItemPlace[] {
  const [first, second] = column.items;
  const lead = placeItem(first!, 0);
  if (second === undefined) return [lead];
  const place = placeItem(second, 0);
  if (sharesHead(lead, place)) {
    return [
      { ...lead, sharedWith: second.family },
      { ...place, sharedWith: lead.item.family },
    ];
  }
  return [lead, placeItem(second, secondVoiceShift(lead, place))];
}

function placeItem(item: ScoreItem, dx: number): ItemPlace {
  if (item.event === null)
    return { item, heads: null, centre: 5.9, sharedWith: null, stemEnd: null };
  const heads = placeHeads(item, dx);
  const alone = hasStem(item.written.value) && item.group === null;
  return {
    item,
    heads,
    centre: dx + heads.width / 2,
    sharedWith: null,
    stemEnd: alone ? endOfStem(item, heads) : null,
  };
}

/** How much longer a stem is for its flag to hang clear of the parentheses around its head. */
const OVER_PARENTHESES = 6.5;

function endOfStem(item: ScoreItem, heads: HeadsPlace): number {
  const { value } = item.written;
  const end = stemEnd(heads, item.stem, value, item.event?.tremolo ?? 0);
  const flagged = item.stem === 'up' && beamsOfValue(value) > 0;
  return flagged && inParentheses(item, item.notes.at(-1)!) ? end - OVER_PARENTHESES : end;
}

/**
 * How far right the second voice's chord stands beside the first's: not at all where it lies clear
 * below, beside it at a second, and past stem and flag where they cross
 * (common practice).
 */
function secondVoiceShift(lead: ItemPlace, second: ItemPlace): number {
  if (lead.heads === null || second.heads === null) return 0;
  const low = lead.item.notes[0]!;
  const high = second.item.notes.at(-1)!;
  const steps = (high.y - low.y) / (SPACE / 2);
  if (steps >= 2) return 0;
  const single =
    !lead.heads.heads.some((h) => h.column > 0) && !second.heads.heads.some((h) => h.column > 0);
  if (steps === 1 && single && hasStem(lead.item.written.value)) return lead.heads.width;
  return Math.max(0, distanceBetween(inkOf(lead), inkOf(second), 1.5));
}

/** Both voices strike one and the same head: one note with two stems. */
function sharesHead(a: ItemPlace, b: ItemPlace): boolean {
  if (a.heads === null || b.heads === null) return false;
  const low = a.item.notes[0]!;
  const high = b.item.notes.at(-1)!;
  const next = a.item.notes[1];
  const before = b.item.notes.at(-2);
  const apart =
    (next === undefined || low.y - next.y > SPACE / 2) &&
    (before === undefined || before.y - high.y > SPACE / 2);
  return (
    apart &&
    low.y === high.y &&
    high.accidental === null &&
    a.heads.glyphs[0] === b.heads.glyphs.at(-1) &&
    a.item.written.dots === b.item.written.dots
  );
}

/** Heads, stem and flag as boxes. */
function inkOf(p: ItemPlace): readonly Box[] {
  const pen = new Pen();
  drawItem(pen, p, { changed: new Set(), alone: false, divided: true });
  return pen.taken;
}

function drawItem(pen: Pen, p: ItemPlace, style: ColumnStyle): void {
  if (p.heads === null) return;
  const { item, heads } = p;
  pen.of(item.family);
  drawNote(pen, heads, item, p.stemEnd, style.changed, sharedHead(p));
  if (item.group !== null) pen.reserve(beamedStem(heads, item.stem));
  const strokes = item.event?.tremolo;
  if (strokes !== undefined) drawTremolo(pen, heads, item.stem, item.written.value, strokes);
  pen.of('');
}

function sharedHead(p: ItemPlace): SharedHead | null {
  if (p.sharedWith === null) return null;
  return p.item.voice === 0
    ? { index: 0, family: `${p.item.family}|${p.sharedWith}` }
    : { index: p.item.notes.length - 1, family: null };
}

function drawRests(pen: Pen, places: readonly ItemPlace[], divided: boolean): void {
  const rests = places.filter((p) => p.heads === null);
  const [a, b] = rests;
  // Two equal rests are one.
  const same =
    a !== undefined &&
    b !== undefined &&
    a.item.written.value === b.item.written.value &&
    a.item.written.dots === b.item.written.dots;
  for (const p of same ? [a] : rests) {
    const side = divided && !same ? (p.item.voice === 0 ? -1 : 1) : 0;
    const { value, dots } = p.item.written;
    const rest = placeRest(value, side, pen.taken);
    drawVexRest(pen, value, rest.glyph, 0, rest.y);
    if (dots === 1) drawVexDot(pen, glyphBox(rest.glyph, 0, 0).x1 + 3, rest.dotY);
  }
}

/** Room between the heads and their dots. */
const DOT_GAP = 3;

function drawDots(pen: Pen, places: readonly ItemPlace[]): void {
  const taken = new Set<number>();
  for (const p of places) {
    if (p.heads === null || p.item.written.dots === 0) continue;
    const down = p.item.voice === 1;
    const ys: number[] = [];
    for (const n of down ? p.item.notes : [...p.item.notes].reverse()) {
      const y = dotSpace(n.y, down, taken);
      if (y === null) continue;
      taken.add(y);
      ys.push(y);
    }
    const boxes = ys.map((y) => glyphBox('augmentationDot', 0, y));
    const right = Math.max(...p.heads.heads.map((h) => h.x1));
    const x = Math.max(right + DOT_GAP, distanceBetween(pen.taken, boxes, 2, 0));
    for (const y of ys) drawVexDot(pen, x, y);
  }
}

/** The space a dot goes to: the note's own, above a line, below it in the second voice; never twice. */
function dotSpace(y: number, down: boolean, taken: ReadonlySet<number>): number | null {
  const half = SPACE / 2;
  const onLine = Math.abs(y % SPACE) === 0;
  const choices = !onLine ? [y] : down ? [y + half, y - half] : [y - half, y + half];
  return choices.find((c) => !taken.has(c)) ?? null;
}

/** Room between an accidental and what stands to its right. */
const ACCIDENTAL_GAP = 1.8;

/**
 * Sets accidentals from the outside in, the top one first and then the bottom one, each as far to
 * the right as it goes (common practice for chords).
 */
function drawAccidentals(pen: Pen, places: readonly ItemPlace[]): void {
  const wanted = places
    .flatMap((p) => p.item.notes)
    .flatMap((n) => (n.accidental === null ? [] : [{ y: n.y, glyph: n.accidental }]))
    .sort((a, b) => a.y - b.y);
  const order: { y: number; glyph: AccidentalSign }[] = [];
  while (wanted.length > 0) {
    order.push(wanted.shift()!);
    if (wanted.length > 0) order.push(wanted.pop()!);
  }
  for (const a of order)
    placeLeft(pen, glyphBox(a.glyph, 0, a.y), ACCIDENTAL_GAP, (x) => {
      drawVexAccidental(pen, a.glyph, x, a.y);
    });
}
