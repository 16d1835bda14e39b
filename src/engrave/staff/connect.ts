import type { PhraseEvent } from '../../core/phrase/types';
import { legatoSource } from '../../core/phrase/walk';
import { midiOf, type Pitch } from '../../core/theory/pitch';
import { type ArcPlan, drawArc, planArc } from '../ink/arc';
import type { Ink, Pen } from '../ink/pen';
import type { EventPlace, Placed } from '../page/thread';
import { arcSide, headOf, type LineEnds, obstaclesNear } from './arcs';

/** Whether an event is reached without plucking from the one before it in its voice. */
function isLegato(events: readonly PhraseEvent[], index: number): boolean {
  return events[index]!.notes.some(
    (n) =>
      n.kind === 'pitched' &&
      (n.attack === 'hammer-on' || n.attack === 'pull-off' || n.attack === 'slide') &&
      legatoSource(events, index, n.string)?.id != null,
  );
}

/** A slur over each run of notes that are not plucked again. */
export function drawSlurs(
  pen: Pen,
  events: readonly PhraseEvent[],
  places: readonly EventPlace[],
  ends: LineEnds,
  stems: ReadonlyMap<Placed, number>,
): void {
  let start = 0;
  const linked = places.map((e) => e.begins && e.index > 0 && isLegato(events, e.index));
  const last = places.at(-1);
  const runsOn =
    last?.ends === true && last.index + 1 < events.length && isLegato(events, last.index + 1);
  while (start < places.length) {
    let end = start;
    while (end + 1 < places.length && linked[end + 1]) end++;
    const cutLeft = start === 0 && linked[0] === true;
    const cutRight = end === places.length - 1 && runsOn;
    if (end > start || cutLeft || cutRight) {
      drawSlur(pen, places.slice(start, end + 1), cutLeft, cutRight, ends, stems);
    }
    start = end + 1;
  }
}

function drawSlur(
  pen: Pen,
  run: readonly EventPlace[],
  cutLeft: boolean,
  cutRight: boolean,
  ends: LineEnds,
  stems: ReadonlyMap<Placed, number>,
): void {
  const first = run[0]!.first;
  const last = run.at(-1)!.first;
  const divided = run.some((e) => e.first.bar.bar.drawn.bar.divided);
  const sides = run.map((e) => arcSide(e.first, divided));
  const plan = (side: -1 | 1) => {
    const from = cutLeft
      ? { x: ends.left, y: anchor(last, side, -1, stems).y }
      : anchor(first, side, 1, stems);
    const to = cutRight
      ? { x: ends.right - 2, y: anchor(first, side, 1, stems).y }
      : anchor(last, side, -1, stems);
    const a = cutLeft ? { x: Math.max(ends.left, Math.min(from.x, to.x - 20)), y: from.y } : from;
    const length = to.x - a.x;
    const y0 = Math.min(a.y, to.y) - FAR;
    const y1 = Math.max(a.y, to.y) + FAR;
    return planArc(a, to, side, obstaclesNear(pen, a.x, to.x, y0, y1), {
      least: Math.max(4, Math.min(11, length * 0.1)),
      most: 40,
      slanting: true,
    });
  };
  pen.sign('slur');
  // Opposite the stems where they agree, else above unless it fits much better below.
  if (sides.every((s) => s === sides[0])) drawArc(pen, plan(sides[0]!));
  else {
    const [above, below] = [plan(-1), plan(1)];
    drawArc(pen, strain(below) + ABOVE_FIRST < strain(above) ? below : above);
  }
}

/** How much worse a slur over stems that disagree may fit before it goes below. */
const ABOVE_FIRST = 10;

/** How badly an arc fits: how far it went from its notes, how high it bulges, how steep it is. */
function strain({ from, to, height, shift }: ArcPlan): number {
  return shift + height / 2 + Math.abs(to.y - from.y) / 2;
}

/** How far from its ends a slur may have to go to get past what is between them. */
const FAR = 200;

/** Room between a slur and the stem, flag or beam over which it begins or ends. */
const OFF_STEM = 3.5;

/**
 * Outside the outermost head on the slur's side, a little towards the slur; on the stem's side at
 * the end of the stem, over its flag or beam.
 */
function anchor(
  p: Placed,
  side: -1 | 1,
  lean: -1 | 1,
  stems: ReadonlyMap<Placed, number>,
): { x: number; y: number } {
  const { heads, item, centre } = p.place;
  const stemEnd = stems.get(p);
  if ((item.stem === 'up') === (side === -1) && stemEnd !== undefined && heads !== null)
    return { x: p.x + heads.stemX + lean, y: stemEnd + side * OFF_STEM };
  const ys = heads?.heads.map((h) => h.y) ?? [];
  const edge = side === -1 ? Math.min(...ys) : Math.max(...ys);
  return { x: p.x + centre + lean * 2.5, y: edge + side * 8 };
}

const AWAY = new Set(['bend-angle', 'target', 'slide-out']);

/** Straight lines between the heads of slides, plucked again or not; cut at the ends of the line. */
export function drawSlides(
  pen: Pen,
  events: readonly PhraseEvent[],
  places: readonly EventPlace[],
  ends: LineEnds,
): void {
  places.forEach((e, i) => {
    if (!e.begins) return;
    for (const n of e.event.notes) {
      if (n.kind !== 'pitched' || (n.attack !== 'slide' && n.attack !== 'slide-plucked')) continue;
      const source = legatoSource(events, e.index, n.string);
      if (source?.id == null) continue;
      const target = headOf(e.first, n.id);
      if (target === null) continue;
      const fall = fallOf(source.pitch, n.pitch);
      const before = i > 0 ? places[i - 1]! : null;
      const origin = before === null ? null : headOf(before.last, source.id);
      const x1 = e.first.x + leftEdge(e.first, target.y, origin?.y ?? target.y) - 2;
      if (origin === null || before === null) {
        slideLine(pen, Math.max(ends.left, x1 - 20), x1, target.y - fall, target.y, fall);
      } else {
        const x0 = before.last.x + rightEdge(before.last, origin.y, target.y) + 2;
        slideLine(pen, x0, x1, origin.y, target.y, fall);
      }
    }
  });
  const last = places.at(-1);
  if (last === undefined || !last.ends) return;
  const next = events[last.index + 1];
  for (const n of next?.notes ?? []) {
    if (n.kind !== 'pitched' || (n.attack !== 'slide' && n.attack !== 'slide-plucked')) continue;
    const source = legatoSource(events, last.index + 1, n.string);
    const origin = source?.id == null ? null : headOf(last.last, source.id);
    if (source === null || origin === null) continue;
    const fall = fallOf(source.pitch, n.pitch);
    const x0 = last.last.x + rightEdge(last.last, origin.y, origin.y) + 2;
    const x1 = ends.right - 2;
    slideLine(pen, Math.min(x0, x1 - 6), x1, origin.y, origin.y + fall, fall);
  }
}

const LEAN = 4;

/** Units that a line leans at least, downwards where the second pitch is the lower. */
function fallOf(from: Pitch, to: Pitch): number {
  return midiOf(to) < midiOf(from) ? LEAN : -LEAN;
}

/**
 * The line of a slide. It leans even between two notes on one line, so that it is not taken for a
 * part of the staff. Where the other voice stands in between, only its two ends are drawn.
 */
function slideLine(pen: Pen, x0: number, x1: number, y0: number, y1: number, fall: number): void {
  const way = y1 - y0;
  // The same where only one of them stands under an 8va sign.
  const lean = Math.abs(way) < LEAN || way * fall < 0 ? fall : way * 0.8;
  const middle = (y0 + y1) / 2;
  const a = { x: x0, y: middle - lean / 2 };
  const b = { x: x1, y: middle + lean / 2 };
  const at = (x: number) => a.y + ((b.y - a.y) * (x - x0)) / (x1 - x0);
  const blocked = obstaclesNear(pen, x0, x1, Math.min(a.y, b.y) - 2, Math.max(a.y, b.y) + 2).some(
    (k) => {
      const ys = [at(Math.max(k.x0, x0)), at(Math.min(k.x1, x1))];
      return Math.min(...ys) - 1.5 < k.y1 && Math.max(...ys) + 1.5 > k.y0;
    },
  );
  pen.sign('slide');
  if (!blocked) {
    pen.line(a.x, a.y, b.x, b.y, 1.3);
    return;
  }
  const tilt = Math.max(-STUB_RISE, Math.min(STUB_RISE, lean));
  const length = Math.min(STUB, (x1 - x0) / 2 - 1);
  const free = (x: number, y: number) =>
    obstaclesNear(pen, x, x + length, Math.min(y, y + tilt) - 1, Math.max(y, y + tilt) + 1)
      .length === 0;
  const starts = free(x0, y0);
  if (starts) pen.line(x0, y0, x0 + length, y0 + tilt, 1.3);
  if (!starts || free(x1 - length, y1 - tilt)) pen.line(x1 - length, y1 - tilt, x1, y1, 1.3);
}

const STUB = 9;
const STUB_RISE = 4;

/** Right edge of what a column has in the way of a line that leaves it at y; a bend goes first. */
function rightEdge(p: Placed, y: number, towards: number): number {
  const bends = p.at.station.staff.ink.filter((k) => AWAY.has(k.kind));
  return Math.max(0, ...[...inWay(p, y, towards), ...bends].map((k) => k.x1));
}

function leftEdge(p: Placed, y: number, from: number): number {
  return Math.min(0, ...inWay(p, y, from).map((k) => k.x0));
}

function inWay(p: Placed, y: number, other: number): readonly Ink[] {
  const half = (y + other) / 2;
  const y0 = Math.min(y, half) - 4;
  const y1 = Math.max(y, half) + 4;
  return p.at.station.staff.ink.filter((k) => k.kind !== 'ledger' && k.y0 < y1 && k.y1 > y0);
}
