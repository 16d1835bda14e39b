import type { PitchedNote } from '../../core/phrase/types';
import { GLYPHS } from '../font/glyphs';
import { measureText } from '../font/measure';
import type { Box } from '../ink/box';
import { distanceBetween, placeLeft, placeRight } from '../ink/contour';
import { glyphBox, type Ink, MUSIC_SIZE, Pen } from '../ink/pen';
import type { ScoreNote } from '../score/score';
import { drawVexAccidental } from '../vex/marks';
import { drawVexNote } from '../vex/notes';
import { NOTE_SIZES } from '../vex/setup';
import type { ColumnStyle, ItemPlace } from './places';

const GRACE_SCALE = NOTE_SIZES.GraceHead;
const SMALL_HEAD = measureText(GLYPHS.noteheadBlack, 'music', MUSIC_SIZE * GRACE_SCALE).advance;

/** What stands before the accidentals: slides from nowhere and, without a tablature, the strum. */
export function drawLeftOfHeads(pen: Pen, place: ItemPlace, style: ColumnStyle): void {
  if (place.item.written.part !== 1) return;
  for (const n of place.item.notes) {
    if (n.note.kind === 'pitched' && n.note.slideIn?.kind === 'indefinite') {
      const fall = n.note.slideIn.from === 'below' ? 4 : -4;
      placeLeft(pen, { x0: 0, x1: 10, y0: n.y - 5, y1: n.y + 5 }, 2, (x) => {
        pen.sign('slide-in').line(x, n.y + fall, x + 10, n.y - fall, 1.3);
      });
    }
  }
  const strum = place.item.event?.strum;
  if (strum !== undefined && style.alone) drawStrum(pen, place, strum);
}

/**
 * A wavy line beside the chord. Down-strums sweep from the lowest string upwards in pitch, so their
 * arrow points up the staff.
 */
function drawStrum(pen: Pen, place: ItemPlace, strum: 'down' | 'up'): void {
  const ys = place.item.notes.map((n) => n.y);
  const top = Math.min(...ys) - 8;
  const bottom = Math.max(...ys) + 8;
  placeLeft(pen, { x0: 0, x1: 6, y0: top - 2, y1: bottom + 2 }, 3, (x) => {
    pen.sign('strum').box({ x0: x, x1: x + 6, y0: top, y1: bottom });
    const up = strum === 'down';
    const from = up ? bottom : top;
    const to = up ? top + 7 : bottom - 7;
    pen.wave(x + 3, from, to, 1.2);
    pen.arrowhead(x + 3, up ? top : bottom, up ? 'up' : 'down', 7);
  });
}

/** What stands after the dots: where bends arrive, curls, slides away. */
export function drawRightOfHeads(pen: Pen, place: ItemPlace, style: ColumnStyle): void {
  if (place.item.written.part === 1) {
    drawBends(pen, [...place.item.notes].reverse(), style);
  }
  if (place.item.written.tieStart) return;
  for (const n of place.item.notes) {
    // The pick runs along the string as a finger slides off it.
    const away = n.note.kind === 'dead' ? n.note.scrape : n.note.slideOut;
    if (away === undefined) continue;
    const rise = away === 'up' ? -4 : 4;
    placeRight(pen, { x0: 0, x1: 11, y0: n.y - 5, y1: n.y + 5 }, 2, (x) => {
      pen.sign('slide-out').line(x, n.y - rise, x + 11, n.y + rise, 1.3);
    });
  }
}

/**
 * Bends of notes that are struck together. Each begins at its own note; where the signs of another are in
 * the way of the small head at its end, its arrow is longer. The ledger lines of a small head are a piece
 * of the staff: the next head stands on them.
 */
function drawBends(pen: Pen, notes: readonly ScoreNote[], style: ColumnStyle): void {
  const before = [...pen.taken];
  const others: Ink[] = [];
  for (const n of notes) {
    if (n.note.kind !== 'pitched' || n.note.bend === undefined) continue;
    const { note } = n;
    const draw = (lead: number) =>
      (n.target === null ? curl(n, style) : target(n, note, lead)).done();
    let fragment = draw(LEAD);
    const x = Math.max(BEND_GAP, distanceBetween(before, [around(n, fragment.ink)], BEND_GAP, 1));
    const clear = () =>
      distanceBetween(
        others,
        fragment.ink.filter((k) => k.kind !== 'ledger'),
        BEND_GAP,
        1,
      ) <= x;
    for (let lead = LEAD + 1; n.target !== null && lead <= MOST_LEAD && !clear(); lead++)
      fragment = draw(lead);
    const signs = fragment.ink.filter((k) => k.kind !== 'ledger');
    // Past all that even a long arrow would meet.
    const at = Math.max(x, distanceBetween(others, signs, BEND_GAP, 1));
    pen.place(fragment, at, 0);
    others.push(...signs.map((k) => ({ ...k, x0: k.x0 + at, x1: k.x1 + at })));
  }
}

/** Between a bend and what is left of it; units. */
const BEND_GAP = 2.5;
/** From the note to the tip of its arrow. */
const LEAD = 11;
const MOST_LEAD = 45;

/** The room of a bend, which begins at its note. */
function around({ y }: ScoreNote, ink: readonly Ink[]): Box {
  return {
    x0: Math.min(...ink.map((k) => k.x0)),
    x1: Math.max(...ink.map((k) => k.x1)),
    y0: Math.min(y - 2, ...ink.map((k) => k.y0)),
    y1: Math.max(y + 2, ...ink.map((k) => k.y1)),
  };
}

/** A bend of a quarter tone: a short hook. */
function curl(n: ScoreNote, style: ColumnStyle): Pen {
  const pen = new Pen();
  const { y } = n;
  pen
    .sign('bend-angle')
    .curve({ x: 0, y }, { x: 4, y }, { x: 7, y: y - 3 }, { x: 7, y: y - 9 }, 1.1);
  if (style.alone) pen.text('¼', 3, y - 11, 'text', 10);
  return pen;
}

/**
 * A bend on the staff: a thin arrow from the note to a small head at the pitch it reaches, a second
 * arrow for the release. A pre-bend's start is not heard: the note is in parentheses and a plain
 * line leads on.
 */
function target(n: ScoreNote, note: PitchedNote, lead: number): Pen {
  const pen = new Pen();
  const goal = n.target!;
  const pre = note.bend?.shape === 'pre-bend' || note.bend?.shape === 'pre-bend-release';
  // Where it is still up at the end of this part, a later one says that it is let go.
  const release =
    !n.held && (note.bend?.shape === 'bend-release' || note.bend?.shape === 'pre-bend-release');
  const rise = goal.y - n.y;
  const accidental = goal.accidental;
  const signWidth =
    accidental === null
      ? 0
      : measureText(GLYPHS[accidental], 'music', MUSIC_SIZE * GRACE_SCALE).x1 + 2.5;
  const headX = lead + 2.5 + signWidth;
  pen.sign('bend-angle');
  const end = { x: lead, y: n.y + rise * 0.85 };
  if (pre) pen.line(0, n.y, end.x, end.y, 1);
  else {
    pen.line(0, n.y, end.x - 2, end.y - rise * 0.12, 1);
    // The head of the arrow follows the line.
    const a = Math.atan2(rise * 0.85, lead);
    const back = (turn: number) => ({
      x: end.x - 5.5 * Math.cos(a + turn),
      y: end.y - 5.5 * Math.sin(a + turn),
    });
    pen.polygon([end, back(0.4), back(-0.4)]);
  }
  if (accidental !== null) {
    const box = glyphBox(accidental, 0, goal.y, GRACE_SCALE);
    drawVexAccidental(pen, accidental, lead + 1.5 - box.x0, goal.y, GRACE_SCALE);
  }
  const head = { x0: headX, y: goal.y, shape: 'normal' } as const;
  drawVexNote(pen, [head], headX, 'quarter', 'up', null, 'GraceHead', 'target');
  const right = headX + SMALL_HEAD;
  if (release) {
    const a = Math.atan2(-rise * 0.7, 9);
    const tip = { x: right + 11, y: goal.y - rise * 0.7 };
    const back = (turn: number) => ({
      x: tip.x - 5.5 * Math.cos(a + turn),
      y: tip.y - 5.5 * Math.sin(a + turn),
    });
    pen.sign('bend-angle').line(right + 2, goal.y, tip.x - 3, tip.y + rise * 0.2, 1);
    pen.polygon([tip, back(0.4), back(-0.4)]);
  }
  return pen;
}
