import type { Phrase } from '../../core/phrase/types';
import { GLYPHS, type GlyphName } from '../font/glyphs';
import { measureText } from '../font/measure';
import { overlaps, unionOf } from '../ink/box';
import type { Fragment } from '../ink/pen';
import { glyphBox, MUSIC_SIZE, Pen, SPACE } from '../ink/pen';
import { drawTrill } from '../signs/small';
import { drawTuplets } from '../signs/tuplets';
import { drawBeamGroup } from '../staff/beams';
import { drawSlides, drawSlurs } from '../staff/connect';
import { drawBarline, drawMeter, drawPrefix, LINE_WIDTH, STAFF_HEIGHT } from '../staff/frame';
import { tremoloRoom } from '../staff/heads';
import { drawTies } from '../staff/ties';
import type { LineLayout } from './line';
import { Row, type Side } from './row';
import { type EventPlace, eventsOf, type Placed, type Thread, threadsOf } from './thread';

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
  threads.forEach((t, v) => {
    const events = phrase.voices[v]?.events ?? [];
    const places = shown[v]!;
    drawTies(pen, t, edges);
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
  pen.sign('staff-line', 'dw-line');
  pen.rules(
    [0, 1, 2, 3, 4].map((i) => [0, line.width, i * SPACE] as const),
    LINE_WIDTH,
  );
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
export function drawBarRest(pen: Pen, x0: number, x1: number): void {
  const box = glyphBox('restWhole', 0, 0);
  pen.sign('rest').glyph('restWhole', (x0 + x1) / 2 - (box.x0 + box.x1) / 2, SPACE);
}

function beamThread(pen: Pen, thread: Thread, ends: Map<Placed, number>): void {
  for (const p of thread) if (p.place.stemEnd !== null) ends.set(p, p.place.stemEnd);
  let i = 0;
  while (i < thread.length) {
    const group = thread[i]!.place.item.group;
    let j = i + 1;
    if (group !== null) {
      while (
        j < thread.length &&
        thread[j]!.place.item.group === group &&
        thread[j]!.bar === thread[i]!.bar
      )
        j++;
      const members = thread.slice(i, j);
      drawGroup(pen, members, ends);
    }
    i = j;
  }
}

function drawGroup(pen: Pen, members: readonly Placed[], ends: Map<Placed, number>): void {
  const first = members[0]!;
  const last = members.at(-1)!;
  const { stem } = first.place.item;
  const own = new Set(members.map((m) => m.at));
  // Own heads are kept clear by the stems' least length; everything else in the way is passed.
  const obstacles = pen.ink.filter(
    (k) =>
      k.kind !== 'staff-line' &&
      k.kind !== 'ledger' &&
      k.kind !== 'barline' &&
      k.x1 > first.x &&
      k.x0 < last.x + 14,
  );
  pen.of(first.place.item.family);
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
    own.size > 0 ? obstacles : [],
  );
  pen.of('');
  members.forEach((m, i) => {
    ends.set(m, tops[i]!);
  });
}

function beamSide(p: Placed): Side {
  const { item } = p.place;
  if (p.bar.bar.drawn.bar.divided) return item.voice === 0 ? 'above' : 'below';
  return item.event === null || item.stem === 'up' ? 'above' : 'below';
}

const ARTICULATIONS: readonly {
  readonly has: 'staccato' | 'tenuto' | 'accent';
  readonly above: GlyphName;
  readonly below: GlyphName;
}[] = [
  { has: 'staccato', above: 'articStaccatoAbove', below: 'articStaccatoBelow' },
  { has: 'tenuto', above: 'articTenutoAbove', below: 'articTenutoBelow' },
  { has: 'accent', above: 'articAccentAbove', below: 'articAccentBelow' },
];

/** Staccato and tenuto stand in the space next to the head; the accent, and what has no room, outside. */
function drawArticulations(row: Row, places: readonly EventPlace[]): void {
  for (const e of places) {
    if (!e.begins) continue;
    const p = e.first;
    const up = p.place.item.stem === 'up';
    const divided = p.bar.bar.drawn.bar.divided;
    const side: Side = divided
      ? p.place.item.voice === 0
        ? 'above'
        : 'below'
      : up
        ? 'below'
        : 'above';
    const out = side === 'above' ? -1 : 1;
    const ys = p.place.heads?.heads.map((h) => h.y) ?? [];
    let near = out < 0 ? Math.min(...ys) : Math.max(...ys);
    for (const a of ARTICULATIONS) {
      if (e.event[a.has] !== true) continue;
      const glyph = a[side];
      const m = measureText(GLYPHS[glyph], 'music', MUSIC_SIZE);
      const x = p.x + p.place.centre - (m.x0 + m.x1) / 2;
      near = spaceBeside(near, out);
      const base = near - (m.y0 + m.y1) / 2;
      const box = { x0: x + m.x0, x1: x + m.x1, y0: base + m.y0, y1: base + m.y1 };
      const grown = { x0: box.x0 - 1.5, x1: box.x1 + 1.5, y0: box.y0 - 1.5, y1: box.y1 + 1.5 };
      const onStemSide = out < 0 === up;
      const blocked = row.pen.ink.some((k) => k.kind !== 'staff-line' && overlaps(k, grown));
      if (a.has !== 'accent' && !onStemSide && !blocked) {
        row.pen.sign('articulation').glyph(glyph, x, base);
        row.settle();
      } else {
        const pen = new Pen();
        pen.sign('articulation').glyph(glyph, 0, 0);
        row.stack(side, pen.done(), x, 2.5);
      }
    }
  }
}

/** The next place outwards: a space inside the staff, so that no line runs through the sign. */
function spaceBeside(y: number, out: -1 | 1): number {
  const next = y + out * SPACE;
  const inside = next >= 0 && next <= STAFF_HEIGHT;
  return inside && next % SPACE === 0 ? next + out * (SPACE / 2) : next;
}

/** tr with a wavy line over the staff. */
export function stackTrills(row: Row, places: readonly EventPlace[]): void {
  places.forEach((e, i) => {
    if (!e.begins || !e.event.notes.some((n) => n.kind === 'pitched' && n.trill !== undefined))
      return;
    const next = places[i + 1];
    const bar = e.last.bar;
    const end = next !== undefined && next.first.bar === bar ? next.first.x : bar.x1;
    const x = e.first.x + e.first.place.centre;
    row.stack('above', drawTrill(end - x - 4), x, 4);
  });
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
