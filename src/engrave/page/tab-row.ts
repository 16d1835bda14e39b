import type { PhraseEvent } from '../../core/phrase/types';
import { legatoSource } from '../../core/phrase/walk';
import { measureText } from '../font/measure';
import type { Pen } from '../ink/pen';
import { drawMeter, LINE_WIDTH } from '../staff/frame';
import { FRET_SIZE, STRING_SPACE, stringY } from '../tab/strings';
import { Row } from './row';
import { drawBars, musicLeft, type RowSource } from './staff-row';
import { type EventPlace, eventsOf, type Placed, threadsOf } from './thread';

/** From the first to the last line of a tablature, in units of the page. */
export function tabHeight(strings: number): number {
  return (strings - 1) * STRING_SPACE;
}

/** Draws the tablature of a line: strings, frets and what leads from fret to fret. */
export function drawTabRow({ phrase, line, width }: RowSource, meter: boolean): Row {
  const strings = phrase.instrument.tuning.length;
  const height = tabHeight(strings);
  const row = new Row(width, 0, height);
  const { pen } = row;
  const middle = height / 2;
  drawBars(pen, line, 0, height, [middle - STRING_SPACE / 2, middle + STRING_SPACE / 2]);
  drawTabClef(pen, height);
  if (meter && line.plan.meter !== null) drawMeter(pen, line.plan.meter, 30, middle - 20);
  for (const b of line.bars) {
    if (meter && b.meterX !== null) drawMeter(pen, b.bar.meter!, b.meterX, middle - 20);
    for (const s of b.stations) pen.place(s.station.tab, s.x, 0);
  }
  const edges = { left: musicLeft(line), right: (line.bars.at(-1)?.x1 ?? width) - 3 };
  threadsOf(line).forEach((t, v) => {
    const events = phrase.voices[v]?.events ?? [];
    joinFrets(pen, events, eventsOf(t, events), edges);
  });
  drawStrings(pen, strings, line.width);
  row.settle();
  return row;
}

const ON_STRING = new Set(['fret', 'grace-fret', 'dead-string', 'changed']);

/** The strings, interrupted where a number stands on them. */
function drawStrings(pen: Pen, strings: number, width: number): void {
  const onString = pen.ink.filter((k) => ON_STRING.has(k.kind));
  const pieces: (readonly [number, number, number])[] = [];
  for (let s = 1; s <= strings; s++) {
    const y = stringY(s);
    const holes = onString
      .filter((k) => k.y0 < y && k.y1 > y)
      .map((k) => [k.x0 - 1.6, k.x1 + 1.6] as const)
      .sort((a, b) => a[0] - b[0]);
    let x = 0;
    for (const [a, b] of holes) {
      if (a > x + 0.5) pieces.push([x, a, y]);
      x = Math.max(x, b);
    }
    if (x < width) pieces.push([x, width, y]);
  }
  pen.sign('tab-line', 'dw-line').rules(pieces, LINE_WIDTH);
}

/** T, A and B one under the other, as tall as the strings allow. */
function drawTabClef(pen: Pen, height: number): void {
  const size = Math.min(17, height / 3);
  const step = size * 0.92;
  pen.sign('clef');
  ['T', 'A', 'B'].forEach((letter, i) => {
    const m = measureText(letter, 'bold', size);
    const y = height / 2 + (i - 1) * step - (m.y0 + m.y1) / 2;
    pen.text(letter, 13 - m.advance / 2, y, 'bold', size);
  });
}

/** Arcs for hammer-on and pull-off, lines for slides, from one fret to the next on the string. */
function joinFrets(
  pen: Pen,
  events: readonly PhraseEvent[],
  places: readonly EventPlace[],
  edges: { readonly left: number; readonly right: number },
): void {
  places.forEach((e, i) => {
    if (!e.begins) return;
    for (const n of e.event.notes) {
      if (n.kind !== 'pitched' || n.attack === undefined || n.attack === 'tap') continue;
      const source = legatoSource(events, e.index, n.string);
      if (source?.id == null) continue;
      const before = places[i - 1];
      const x0 = before === undefined ? null : lastFretEdge(before, n.string);
      const x1 = fretEdge(e.first, n.string, 'left');
      if (x1 === null) continue;
      join(
        pen,
        n.attack,
        stringY(n.string),
        x0 ?? Math.max(edges.left, x1 - 20),
        x1,
        n.fret - source.fret,
      );
    }
  });
  const last = places.at(-1);
  const next = last === undefined || !last.ends ? undefined : events[last.index + 1];
  for (const n of next?.notes ?? []) {
    if (n.kind !== 'pitched' || n.attack === undefined || n.attack === 'tap') continue;
    const source = legatoSource(events, last!.index + 1, n.string);
    const x0 = source?.id == null ? null : lastFretEdge(last!, n.string);
    if (x0 !== null)
      join(
        pen,
        n.attack,
        stringY(n.string),
        Math.min(x0, edges.right - 6),
        edges.right,
        n.fret - source!.fret,
      );
  }
}

function join(
  pen: Pen,
  attack: 'hammer-on' | 'pull-off' | 'slide' | 'slide-plucked',
  y: number,
  x0: number,
  x1: number,
  frets: number,
): void {
  if (attack === 'slide' || attack === 'slide-plucked') {
    const lean = frets < 0 ? -3 : 3;
    pen.sign('slide').line(x0 + 2, y + lean, x1 - 2, y - lean, 1.2);
  }
  if (attack === 'slide-plucked') return;
  const lift = FRET_SIZE * 0.36;
  const a = { x: x0 + 0.6, y: y - lift };
  const b = { x: x1 - 0.6, y: y - lift };
  // Where a number stands on the next string, or a strum ends there, the arc is flat enough to pass under it.
  const crowded = pen.ink.some(
    (k) =>
      k.x1 > a.x &&
      k.x0 < b.x &&
      k.y1 > y - STRING_SPACE &&
      k.y1 < y &&
      (ON_STRING.has(k.kind) || k.kind === 'strum'),
  );
  pen.sign('tab-slur').arc(a.x, a.y, b.x, b.y, crowded ? -1.6 : -3.4, crowded ? 1.2 : 1.5);
}

/** Right edge of the number an event shows last on a string: a tied one may be shown again. */
function lastFretEdge(e: EventPlace, string: number): number | null {
  for (const p of [...e.parts].reverse()) {
    const edge = fretEdge(p, string, 'right');
    if (edge !== null) return edge;
  }
  return null;
}

/** Edge of what stands on a string at an event, from the fret outwards. */
function fretEdge(p: Placed, string: number, side: 'left' | 'right'): number | null {
  const fret = p.at.station.frets.find((f) => f.string === string);
  if (fret === undefined) return null;
  const y = stringY(string);
  const here = p.at.station.tab.ink.filter((k) => k.y0 < y + 3 && k.y1 > y - 9);
  return side === 'left'
    ? p.x + Math.min(fret.box.x0, ...here.map((k) => k.x0))
    : p.x + Math.max(fret.box.x1, ...here.map((k) => k.x1));
}
