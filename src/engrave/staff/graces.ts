import type { Note } from '../../core/phrase/types';
import { GLYPHS } from '../font/glyphs';
import { measureText } from '../font/measure';
import { type ArcPlan, drawArc, nearerArc, planArc } from '../ink/arc';
import type { Box } from '../ink/box';
import { distanceBetween, placeLeft } from '../ink/contour';
import type { Point } from '../ink/curve';
import { type Fragment, glyphBox, type Ink, MUSIC_SIZE, Pen, SPACE } from '../ink/pen';
import type { ScoreGrace, StemDirection } from '../score/score';
import { drawVexAccidental } from '../vex/marks';
import { drawVexNote, STEM_WIDTH } from '../vex/notes';
import { NOTE_SIZES } from '../vex/setup';
import { type BeamMember, drawBeamGroup } from './beams';
import { aloneStem } from './heads';
import type { ItemPlace } from './places';

const GRACE_SCALE = NOTE_SIZES.GraceHead;
const HEAD_WIDTH = measureText(GLYPHS.noteheadBlack, 'music', MUSIC_SIZE * GRACE_SCALE).advance;
const STEM = 2.3 * SPACE;
/** A stem under a beam may become this long. */
const STEM_ROOM = 80;
/** Room for the line of a slide between the small head and its note. */
const SLIDE_ROOM = 11;

/** One grace chord, drawn without its stem; x from its own origin. */
interface Chord {
  readonly fragment: Fragment;
  readonly heads: readonly { readonly x0: number; readonly x1: number; readonly y: number }[];
  readonly lowest: number;
  readonly highest: number;
  x: number;
}

/**
 * Draws the grace notes of an item to the left of all that stands there: small heads with their
 * accidentals, a flag with a stroke for one, two beams for several, and a slur to the note or the
 * line of a slide-in.
 */
export function drawGraces(pen: Pen, place: ItemPlace): void {
  const { graces, stem, voice } = place.item;
  if (graces.length === 0 || place.heads === null) return;
  const direction: StemDirection = voice === 1 && stem === 'down' ? 'down' : 'up';
  const single = graces.length === 1;
  // A slide-in alone is a small head without a stem, like the target of a bend.
  const stemmed = !graces.at(-1)!.slideIn || !single;
  const chords = graces.map((g) =>
    drawChord(
      g,
      `grace ${place.item.family}`,
      direction,
      stemmed ? (single ? 'alone' : 'beamed') : 'none',
    ),
  );
  layOut(chords, graces);
  const group = new Pen().of(`grace ${place.item.family}`);
  for (const c of chords) group.place(c.fragment, c.x, 0);
  const last = graces.at(-1)!;
  const slides = place.item.notes.some((n) => isSlidTo(n.note, last));
  if (!single) drawBeams(group, chords, direction);
  else if (stemmed) drawStroke(group, chords[0]!, direction);
  drawSlidesBetween(group, chords, graces);
  const fragment = group.done();
  const need = distanceBetween(fragment.ink, pen.ink, slides ? SLIDE_ROOM : 4, slides ? 40 : 2);
  const nearest = chords.at(-1)!.x + HEAD_WIDTH;
  // The line of a slide may not be shorter than its room even where the notes lie far apart.
  const dx = Math.min(-need, -(nearest + (slides ? SLIDE_ROOM : 4)));
  const before = [...pen.ink];
  pen.place(fragment, dx, 0);
  if (slides) drawSlides(pen, place, last, fragment.ink, dx, before);
  // The line of a slide-in says already that the two belong together.
  if (!last.slideIn) drawSlur(pen, place, chords[0]!, dx, direction, before);
}

function drawChord(
  grace: ScoreGrace,
  family: string,
  direction: StemDirection,
  stem: 'none' | 'alone' | 'beamed',
): Chord {
  const pen = new Pen().of(family);
  const ys = grace.notes.map((n) => n.y);
  const heads = ys.map((y, i) => {
    const second = i > 0 && Math.abs(ys[i - 1]! - y) < SPACE;
    const x0 = second ? HEAD_WIDTH - STEM_WIDTH * GRACE_SCALE : 0;
    return { x0, x1: x0 + HEAD_WIDTH, y };
  });
  const chord = {
    heads,
    lowest: Math.max(...ys),
    highest: Math.min(...ys),
    x: 0,
  };
  const shapes = heads.map((h) => ({ x0: h.x0, y: h.y, shape: 'normal' as const }));
  const { x, from, end } = stemOf(chord, direction);
  const alone = stem === 'alone' ? aloneStem(x, from, end, direction, 'eighth', GRACE_SCALE) : null;
  const value = stem === 'alone' ? 'eighth' : 'quarter';
  drawVexNote(pen, shapes, 0, value, direction, alone, 'GraceHead', 'grace');
  pen.of('');
  for (const n of grace.notes) {
    if (n.accidental === null) continue;
    const glyph = n.accidental;
    placeLeft(pen, glyphBox(glyph, 0, n.y, GRACE_SCALE), 1.5, (x) => {
      drawVexAccidental(pen, glyph, x, n.y, GRACE_SCALE);
    });
  }
  if (stem === 'beamed') {
    const [x, room] = direction === 'up' ? [HEAD_WIDTH, -STEM_ROOM] : [0, STEM_ROOM];
    const [y0, y1] = [Math.min(0, room), Math.max(0, room)];
    pen.reserve({ x0: x - 1, x1: x + 1, y0: chord.highest + y0, y1: chord.lowest + y1 });
  }
  return { ...chord, fragment: pen.done() };
}

/** Middle of a chord's stem, where it leaves the heads, and its end where it stands alone. */
function stemOf(c: Omit<Chord, 'fragment'>, direction: StemDirection) {
  const half = (STEM_WIDTH * GRACE_SCALE) / 2;
  return direction === 'up'
    ? { x: c.x + HEAD_WIDTH - half, from: c.lowest - 1.1, end: c.highest - STEM }
    : { x: c.x + half, from: c.highest + 1.1, end: c.lowest + STEM };
}

/** Side by side, with room for a slide between two of them. */
function layOut(chords: readonly Chord[], graces: readonly ScoreGrace[]): void {
  for (let i = 1; i < chords.length; i++) {
    const slide = graces[i]!.notes.some((n) => n.attack === 'slide');
    const before = chords[i - 1]!;
    const need = distanceBetween(before.fragment.taken, chords[i]!.fragment.taken, 3, 30);
    chords[i]!.x = before.x + Math.max(need, HEAD_WIDTH + (slide ? SLIDE_ROOM : 3.5));
  }
}

/** The stroke that crosses stem and flag. */
function drawStroke(pen: Pen, chord: Chord, direction: StemDirection): void {
  const { x, end } = stemOf(chord, direction);
  const sign = direction === 'up' ? -1 : 1;
  const y = end - sign * 8;
  pen.sign('grace').line(x - 5, y - sign * 4, x + 7, y + sign * 3, 1);
}

function drawBeams(pen: Pen, chords: readonly Chord[], direction: StemDirection): void {
  const members = chords.map((c, i): BeamMember => {
    const part = i === 0 ? 'begin' : i === chords.length - 1 ? 'end' : 'continue';
    const { x, from } = stemOf(c, direction);
    const stemHead = direction === 'up' ? c.highest : c.lowest;
    return { x, stemStart: from, stemHead, beams: [part, part], extra: 4 };
  });
  const signs = pen.ink.filter((k) => k.kind === 'accidental');
  drawBeamGroup(pen, members, direction, signs, GRACE_SCALE);
}

/** A line from each small head to the note on its string that it slides to, up to that note's accidental. */
function drawSlides(
  pen: Pen,
  place: ItemPlace,
  grace: ScoreGrace,
  group: readonly Ink[],
  dx: number,
  before: readonly Ink[],
): void {
  const starts = new Set<number>();
  const ends = new Set<number>();
  for (const g of grace.notes) {
    const i = place.item.notes.findIndex((n) => n.note.string === g.string);
    const target = place.item.notes[i];
    if (target === undefined || !isSlidTo(target.note, grace)) continue;
    // Two strings may slide from or to one place of the staff: one line says it.
    if (starts.has(g.y) || ends.has(target.y)) continue;
    starts.add(g.y);
    ends.add(target.y);
    const to = { x: leftAt(before, target.y, place.heads!.heads[i]!.x0), y: target.y };
    drawSlide(pen, { x: dx + rightAt(group, g.y), y: g.y }, to, target.note.fret < g.fret);
  }
}

/** Lines between small heads, where one is slid to from the one before on its string. */
function drawSlidesBetween(
  pen: Pen,
  chords: readonly Chord[],
  graces: readonly ScoreGrace[],
): void {
  for (let i = 1; i < graces.length; i++) {
    for (const g of graces[i]!.notes) {
      const from = graces[i - 1]!.notes.find((n) => n.string === g.string);
      if (g.attack !== 'slide' || from === undefined) continue;
      const chord = chords[i]!;
      const to = { x: chord.x + leftAt(chord.fragment.ink, g.y, 0), y: g.y };
      const before = chords[i - 1]!;
      const x = before.x + rightAt(before.fragment.ink, from.y);
      drawSlide(pen, { x, y: from.y }, to, g.fret < from.fret);
    }
  }
}

function isSlidTo(note: Note, grace: ScoreGrace): boolean {
  if (note.kind === 'dead') return false;
  if (grace.slideIn) return note.slideIn?.kind === 'interval';
  return note.attack === 'slide' || note.attack === 'slide-plucked';
}

/** Right of the head, of one that stands out beside it, and of a flag that hangs down to it. */
function rightAt(ink: readonly Ink[], y: number): number {
  const here = ink.filter((k) => k.kind !== 'ledger' && k.y0 < y + 4 && k.y1 > y - 4);
  return Math.max(...here.map((k) => k.x1));
}

function leftAt(ink: readonly Ink[], y: number, edge: number): number {
  return Math.min(edge, ...ink.filter((k) => k.y0 < y + 3 && k.y1 > y - 3).map((k) => k.x0));
}

/** Even to a note on the same line the stroke leans, so that it is not taken for a ledger line. */
function drawSlide(pen: Pen, from: Point, to: Point, down: boolean): void {
  const way = clamp(to.y - from.y, -9, 9);
  const lean = way === 0 ? (down ? 4 : -4) : way * 0.7;
  const middle = (from.y + to.y) / 2;
  pen.sign('slide').line(from.x + 1.5, middle - lean / 2, to.x - 1.5, middle + lean / 2, 1.3);
}

const SIGNS = new Set(['accidental', 'parenthesis']);

/**
 * On the side away from the grace stems, unless only the other is free.
 * @param before What stands there besides the small notes.
 */
function drawSlur(
  pen: Pen,
  place: ItemPlace,
  first: Chord,
  dx: number,
  direction: StemDirection,
  before: readonly Ink[],
): void {
  const plan = (side: -1 | 1) => planSlur(pen, place, first, dx, side, before);
  const side = direction === 'up' ? 1 : -1;
  const other = side === 1 ? -1 : 1;
  drawArc(
    pen.sign('grace-slur'),
    nearerArc(plan(side), () => plan(other)),
  );
}

function planSlur(
  pen: Pen,
  place: ItemPlace,
  first: Chord,
  dx: number,
  side: -1 | 1,
  before: readonly Ink[],
): ArcPlan {
  const below = side === 1;
  const heads = place.heads!.heads;
  const target = below
    ? heads.reduce((a, b) => (b.y > a.y ? b : a))
    : heads.reduce((a, b) => (b.y < a.y ? b : a));
  const x0 = dx + first.x + HEAD_WIDTH * 0.6;
  // Over its own stem or beam where it starts on their side.
  const solid = pen.taken.filter((k) => !isLedger(k));
  const over = pen.ink.filter((k) => !isLedger(k) && k.x0 < x0 + 2 && k.x1 > x0 - 2);
  const edge = below ? Math.max(...over.map((k) => k.y1)) : Math.min(...over.map((k) => k.y0));
  const y0 = edge + side * 2.2;
  // Before an accidental, or on the stem's side, the slur ends beside the head and not under it.
  const signs = before.filter(
    (k) => SIGNS.has(k.kind) && k.x0 > x0 && k.y0 < target.y + 12 && k.y1 > target.y - 12,
  );
  const onStem = (place.item.stem === 'down') === below;
  const beside = onStem || signs.length > 0;
  const x1 = beside ? Math.min(target.x0, ...signs.map((k) => k.x0)) - 1.5 : target.x0 + 2;
  const y1 = target.y + side * (beside ? 4 : 7);
  return planArc({ x: x0, y: y0 }, { x: x1, y: y1 }, side, solid, {
    least: 3.5,
    most: 24,
    thick: 1.4,
  });
}

/** Slurs lead past ledger lines as they do over the lines of the staff. */
function isLedger(k: Box): boolean {
  return 'kind' in k && k.kind === 'ledger';
}

function clamp(n: number, low: number, high: number): number {
  return Math.max(low, Math.min(high, n));
}
