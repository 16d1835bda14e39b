import { HARMONIC_NODES, openMidi } from '../../core/phrase/instrument';
import type { Instrument, Note, NoteId, PitchedNote } from '../../core/phrase/types';
import { midiOf } from '../../core/theory/pitch';
import { measureText, type TextExtent } from '../font/measure';
import type { Box } from '../ink/box';
import type { Pen } from '../ink/pen';
import type { ScoreItem } from '../score/score';
import type { ItemPlace } from '../staff/places';
import { FRET_SIZE, type FretPlace, SMALL_FRET_SIZE, stringY, type TabStyle } from './strings';

/** Room between a number and the outline that marks it as changed; strings next to it stay free. */
const OUTLINE_X = 2.2;
const OUTLINE_HEIGHT = 12.6;
const BRACKET_SIZE = 12.5;
const CROSS_SIZE = 17;

/** Draws the numbers of an item, each under the middle of its notehead. */
export function drawFrets(pen: Pen, place: ItemPlace, style: TabStyle): FretPlace[] {
  const { item } = place;
  const { tieStop, onset } = item.written;
  if (item.event === null) return [];
  const again = onset === style.barStart;
  const shown = item.event.notes.filter((n) => !tieStop || again || leaves(item, n));
  return shown.map((n) => {
    const centre = centreOf(place, n.id);
    const changed = style.changed.has(n.id);
    const family = changed ? `changed ${n.id}` : '';
    pen.of(family).sign('fret', changed ? 'dw-changed' : '');
    const from = pen.ink.length;
    const box =
      n.kind === 'dead'
        ? drawCross(pen, n, centre)
        : drawNumber(pen, n, centre, tieStop, style.instrument);
    if (changed) drawOutline(pen, pen.ink.slice(from), stringY(n.string));
    pen.of('');
    return { id: n.id, string: n.string, box };
  });
}

/** Whether a slide away leads from this part of a note: it needs a number to lead from. */
function leaves({ written }: ScoreItem, n: Note): boolean {
  return !written.tieStart && (n.kind === 'dead' ? n.scrape : n.slideOut) !== undefined;
}

/** The middle of the note's own head; beside a second, of the heads on the stem's proper side. */
function centreOf(place: ItemPlace, id: NoteId): number {
  const head = place.heads?.heads.find((h) => h.id === id);
  return head === undefined || head.column > 0 ? place.centre : (head.x0 + head.x1) / 2;
}

function drawCross(pen: Pen, n: Note, centre: number): Box {
  return drawCentred(pen, '×', centre, stringY(n.string), CROSS_SIZE);
}

function drawNumber(
  pen: Pen,
  n: PitchedNote,
  centre: number,
  tied: boolean,
  instrument: Instrument,
): Box {
  const y = stringY(n.string);
  const box = drawCentred(pen, String(n.fret), centre, y, FRET_SIZE);
  const brackets = bracketsOf(n, tied);
  if (brackets !== null) drawAround(pen, brackets, box, y);
  const after = tied ? null : suffixOf(n, instrument);
  if (after !== null) {
    const x = brackets === null ? box.x1 + 1.5 : box.x1 + 6.5;
    pen.text(after, x, baseOf(y, SMALL_FRET_SIZE), 'text', SMALL_FRET_SIZE);
  }
  return box;
}

function drawCentred(pen: Pen, text: string, centre: number, y: number, size: number): Box {
  const m = measureText(text, 'text', size);
  const x = centre - (m.x0 + m.x1) / 2;
  const base = text === '×' ? y - (m.y0 + m.y1) / 2 : baseOf(y, size);
  pen.text(text, x, base, 'text', size);
  return { x0: x + m.x0, x1: x + m.x1, y0: base + m.y0, y1: base + m.y1 };
}

/** Base line that centres digits on y. */
export function baseOf(y: number, size: number): number {
  const m = measureText('0', 'text', size);
  return y - (m.y0 + m.y1) / 2;
}

/** Parentheses for what is soft or tied, angles for a natural harmonic. */
function bracketsOf(n: PitchedNote, tied: boolean): readonly [string, string] | null {
  if (n.harmonic?.kind === 'natural') return ['‹', '›'];
  return tied || n.ghost === true ? ['(', ')'] : null;
}

function drawAround(pen: Pen, [left, right]: readonly [string, string], box: Box, y: number): void {
  const put = (text: string, x: (m: TextExtent) => number) => {
    const m = measureText(text, 'text', BRACKET_SIZE);
    pen.text(text, x(m), y - (m.y0 + m.y1) / 2, 'text', BRACKET_SIZE);
  };
  put(left, (m) => box.x0 - 1.2 - m.x1);
  put(right, (m) => box.x1 + 1.2 - m.x0);
}

/** A trill's upper fret in parentheses; the node of an artificial or pinch harmonic in angles. */
function suffixOf(n: PitchedNote, i: Instrument): string | null {
  if (n.trill !== undefined) return `(${midiOf(n.trill.upper) - openMidi(i, n.string)})`;
  if (n.harmonic !== undefined && n.harmonic.kind === 'artificial') {
    return `‹${n.fret + nodeDistance(n.harmonic.above)}›`;
  }
  return null;
}

/** Frets from the stopped fret to the node: where it lies over the open string (common practice). */
function nodeDistance(above: 12 | 19 | 24): number {
  const nodes = Object.entries(HARMONIC_NODES).filter(([, semitones]) => semitones === above);
  return Math.min(...nodes.map(([fret]) => Number(fret)));
}

/** A rounded frame around a number that a move has changed. */
function drawOutline(pen: Pen, ink: readonly Box[], y: number): void {
  const x0 = Math.min(...ink.map((k) => k.x0)) - OUTLINE_X;
  const x1 = Math.max(...ink.map((k) => k.x1)) + OUTLINE_X;
  pen
    .sign('changed', 'dw-changed-mark')
    .frame({ x0, x1, y0: y - OUTLINE_HEIGHT / 2, y1: y + OUTLINE_HEIGHT / 2 }, 3, 1);
}
