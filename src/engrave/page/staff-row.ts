import type { Phrase } from '../../core/phrase/types';
import { unionOf } from '../ink/box';
import type { Fragment } from '../ink/pen';
import { glyphBox, Pen, SPACE } from '../ink/pen';
import { drawArticulations } from '../signs/articulations';
import { drawTrill } from '../signs/small';
import { drawTuplets } from '../signs/tuplets';
import { drawBeamGroup } from '../staff/beams';
import { drawSlides, drawSlurs } from '../staff/connect';
import { drawBarline, drawMeter, drawPrefix, LINE_WIDTH, STAFF_HEIGHT } from '../staff/frame';
import { tremoloRoom } from '../staff/heads';
import { drawTies } from '../staff/ties';
import { drawVexRest } from '../vex/marks';
import { drawVexStaff } from '../vex/staff';
import type { LineLayout } from './line';
import { Row, type Side } from './row';
import {
  beamGroups,
  type EventPlace,
  endX,
  eventsOf,
  type Placed,
  type Thread,
  threadsOf,
} from './thread';

/** What a line of music is drawn from besides its layout. */
export interface RowSource {
  readonly phrase: Phrase;
  readonly line: LineLayout;
  /** Width of the row in units. */
  readonly width: number;
}

/** Left end of the music for ties and slurs that come from the line before. */
export function musicLeft(line: LineLayout): number {
  return (line.bars[0]?.x0 ?? 0) + 2;
}

/** Draws the five-line staff of a line: everything that is written on it and the signs nearest to it. */
export function drawStaffRow({ phrase, line, width }: RowSource): Row {
  const row = new Row(width, 0, STAFF_HEIGHT);
  const { pen } = row;
  drawFrame(pen, line);
  for (const bar of line.bars) {
    for (const s of bar.stations) pen.place(s.station.staff, s.x, 0);
    if (bar.bar.drawn.bar.silent) drawBarRest(pen, bar.x0, bar.x1);
  }
  const threads = threadsOf(line);
  const ends = threads.map(() => new Map<Placed, number>());
  threads.forEach((t, v) => {
    beamThread(pen, t, ends[v]!);
  });
  const edges = { left: musicLeft(line), right: line.bars.at(-1)?.x1 ?? width };
  const shown = threads.map((t, v) => eventsOf(t, phrase.voices[v]?.events ?? []));
  // A slur has more ways to go than a tie: those of both voices come first.
  for (const t of threads) drawTies(pen, t, edges);
  threads.forEach((_, v) => {
    const events = phrase.voices[v]?.events ?? [];
    const places = shown[v]!;
    drawSlides(pen, events, places, edges);
    drawSlurs(pen, events, places, edges, ends[v]!);
  });
  for (const places of shown) drawArticulations(row, places);
  for (const t of threads) drawTuplets(row, t, beamSide);
  for (const places of shown) stackTrills(row, places);
  for (const t of threads) stackOctaves(row, t);
  row.settle();
  return row;
}

function drawFrame(pen: Pen, line: LineLayout): void {
  drawVexStaff(pen, line.width, LINE_WIDTH);
  drawPrefix(pen, line.plan, 0);
  drawBars(pen, line, 0, STAFF_HEIGHT, [1.5 * SPACE, 2.5 * SPACE]);
  for (const b of line.bars) if (b.meterX !== null) drawMeter(pen, b.bar.meter!, b.meterX);
}

/** The bar lines of a staff. */
export function drawBars(
  pen: Pen,
  line: LineLayout,
  top: number,
  bottom: number,
  dots: readonly number[],
): void {
  for (const b of line.bars) {
    drawBarline(pen, b.bar.end, b.x1, top, bottom, dots);
    if (b.repeatX !== null) drawBarline(pen, 'repeat-start', b.repeatX, top, bottom, dots);
  }
}

/** A whole rest in the middle of a bar in which nobody plays. */
function drawBarRest(pen: Pen, x0: number, x1: number): void {
  const box = glyphBox('restWhole', 0, 0);
  const x = (x0 + x1) / 2 - (box.x0 + box.x1) / 2;
  drawVexRest(pen, 'whole', 'restWhole', x, SPACE);
}

/** Stems and beams of a voice. @param ends Filled with the end of every stem, beamed or not. */
function beamThread(pen: Pen, thread: Thread, ends: Map<Placed, number>): void {
  for (const p of thread) if (p.place.stemEnd !== null) ends.set(p, p.place.stemEnd);
  for (const members of beamGroups(thread)) {
    const first = members[0]!;
    const last = members.at(-1)!;
    const { stem, family } = first.place.item;
    // Whatever stands in the way of the beam is passed; its own heads are below its least stems.
    const obstacles = pen.ink.filter(
      (k) => !UNDER_BEAMS.has(k.kind) && k.x1 > first.x && k.x0 < last.x + 14,
    );
    pen.of(family);
    const tops = drawBeamGroup(
      pen,
      members.map((m) => ({
        x: m.x + m.place.heads!.stemX,
        stemStart: m.place.heads!.stemStart,
        stemHead: m.place.heads!.stemHead,
        beams: m.place.item.written.beams,
        extra: tremoloRoom(m.place.item.event?.tremolo ?? 0, m.place.item.written.value),
      })),
      stem,
      obstacles,
    );
    pen.of('');
    members.forEach((m, i) => {
      ends.set(m, tops[i]!);
    });
  }
}

const UNDER_BEAMS = new Set(['staff-line', 'ledger', 'barline']);

function beamSide(p: Placed): Side {
  const { item } = p.place;
  if (p.bar.bar.drawn.bar.divided) return item.voice === 0 ? 'above' : 'below';
  return item.event === null || item.stem === 'up' ? 'above' : 'below';
}

/** tr with a wavy line over the staff. */
export function stackTrills(row: Row, places: readonly EventPlace[]): void {
  for (const e of places) {
    if (!e.begins || !e.event.notes.some((n) => n.kind === 'pitched' && n.trill !== undefined))
      continue;
    const x = e.first.x + e.first.place.centre;
    row.stack('above', drawTrill(endX(e) - x), x, 4);
  }
}

/** 8va over every run of notes that are written an octave lower. */
function stackOctaves(row: Row, thread: Thread): void {
  let i = 0;
  while (i < thread.length) {
    if (!thread[i]!.place.item.octave) {
      i++;
      continue;
    }
    let j = i;
    while (thread[j + 1]?.place.item.octave === true) j++;
    row.stack('above', octaveSign(thread[j]!.x - thread[i]!.x + 12), thread[i]!.x, 4);
    i = j + 1;
  }
}

function octaveSign(length: number): Fragment {
  const pen = new Pen();
  pen.sign('octave').glyph('ottavaAlta', 0, 0, 0.75);
  const from = (unionOf(pen.ink)?.x1 ?? 0) + 3;
  if (length > from + 6) {
    pen.line(from, -8, length, -8, 1, '4 3');
    pen.line(length, -8, length, -1, 1);
  }
  return pen.done();
}
