import type { PhraseEvent } from '../../core/phrase/types';
import { legatoSource } from '../../core/phrase/walk';
import { clearArc } from '../ink/arc';
import type { Ink, Pen } from '../ink/pen';
import type { EventPlace, Placed, Thread } from '../page/thread';
import type { HeadPlace } from './heads';

/** Where a line of music begins and ends for what is cut by its ends. */
export interface LineEnds {
  readonly left: number;
  readonly right: number;
}

/** Which way arcs of an item bulge. */
function sideOf(p: Placed, divided: boolean): -1 | 1 {
  const { item } = p.place;
  if (divided) return item.voice === 0 ? -1 : 1;
  return item.stem === 'up' ? 1 : -1;
}

function head(p: Placed, id: string): HeadPlace | null {
  return p.place.heads?.heads.find((h) => h.id === id) ?? null;
}

/** Ties between the written parts of one event; cut at the ends of the line. */
export function drawTies(pen: Pen, thread: Thread, ends: LineEnds): void {
  thread.forEach((p, i) => {
    const { item, heads } = p.place;
    if (item.event === null || heads === null) return;
    const next = thread[i + 1];
    const divided = p.bar.bar.drawn.bar.divided;
    heads.heads.forEach((h, k) => {
      if (item.notes[k]!.note.kind === 'dead') return;
      const side = tieSide(p, k, divided);
      if (item.written.tieStart) {
        const follower = next === undefined ? null : head(next, h.id);
        const to = follower === null ? ends.right - 2 : next!.x + follower.x0 - 1;
        drawTie(pen, p, h, side, to);
      }
      if (item.written.tieStop && i === 0) {
        const x1 = p.x + h.x0 - 1;
        const x0 = Math.max(ends.left, x1 - 22);
        const y = h.y + side * 5;
        clearArc(pen.sign('tie'), { x: x0, y }, { x: x1, y }, side, near(pen, x0, x1, y), TIE);
      }
    });
  });
}

const TIE = { least: 4, most: 16 } as const;

/** In a chord the upper half of the ties goes up, the lower half down; the middle one with the stem. */
function tieSide(p: Placed, index: number, divided: boolean): -1 | 1 {
  const count = p.place.item.notes.length;
  if (count === 1 || divided) return sideOf(p, divided);
  const middle = (count - 1) / 2;
  if (index === middle) return sideOf(p, divided);
  return index > middle ? -1 : 1;
}

function drawTie(pen: Pen, p: Placed, h: HeadPlace, side: -1 | 1, to: number): void {
  const y = h.y + side * 5;
  // A dot that stands where the tie would begin is passed.
  const dots = p.at.station.staff.ink.filter(
    (k) => k.kind === 'dot' && k.y1 > Math.min(y, h.y) - 2 && k.y0 < Math.max(y, h.y) + 2,
  );
  const from = p.x + Math.max(h.x1, ...dots.map((d) => d.x1)) + 1;
  const x0 = Math.min(from, to - 8);
  clearArc(pen.sign('tie'), { x: x0, y }, { x: to, y }, side, near(pen, x0, to, y), TIE);
}

const NOT_IN_WAY = new Set(['staff-line', 'barline', 'ledger', 'tie']);

function near(pen: Pen, x0: number, x1: number, y: number): readonly Ink[] {
  return pen.ink.filter(
    (k) => !NOT_IN_WAY.has(k.kind) && k.x1 > x0 && k.x0 < x1 && k.y1 > y - 30 && k.y0 < y + 30,
  );
}

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
      drawSlur(pen, places.slice(start, end + 1), cutLeft, cutRight, ends);
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
): void {
  const first = run[0]!.first;
  const last = run.at(-1)!.first;
  const divided = run.some((e) => e.first.bar.bar.drawn.bar.divided);
  const sides = run.map((e) => sideOf(e.first, divided));
  // Opposite the stems where they agree, else above.
  const side = sides.every((s) => s === sides[0]) ? sides[0]! : -1;
  const from = cutLeft
    ? { x: ends.left, y: anchorY(last, side) }
    : anchor(first, side, run.length > 1 || cutRight ? 1 : 0);
  const to = cutRight ? { x: ends.right - 2, y: anchorY(first, side) } : anchor(last, side, -1);
  const a = cutLeft ? { x: Math.max(ends.left, Math.min(from.x, to.x - 20)), y: from.y } : from;
  const length = to.x - a.x;
  const y0 = Math.min(a.y, to.y) - 45;
  const y1 = Math.max(a.y, to.y) + 45;
  const obstacles = pen.ink.filter(
    (k) => !NOT_IN_WAY.has(k.kind) && k.x1 > a.x && k.x0 < to.x && k.y1 > y0 && k.y0 < y1,
  );
  clearArc(pen.sign('slur'), a, to, side, [...obstacles, ...ties(pen, a.x, to.x)], {
    least: Math.max(4, Math.min(11, length * 0.1)),
    most: 40,
  });
}

function ties(pen: Pen, x0: number, x1: number): readonly Ink[] {
  return pen.ink.filter((k) => k.kind === 'tie' && k.x1 > x0 && k.x0 < x1);
}

/** Outside the outermost head on the slur's side, a little towards the slur. */
function anchor(p: Placed, side: -1 | 1, lean: number): { x: number; y: number } {
  return { x: p.x + p.place.centre + lean * 2.5, y: anchorY(p, side) };
}

function anchorY(p: Placed, side: -1 | 1): number {
  const heads = p.place.heads?.heads ?? [];
  const ys = heads.map((h) => h.y);
  const edge = side === -1 ? Math.min(...ys) : Math.max(...ys);
  const stemEnd = p.place.stemEnd;
  const onStem = (p.place.item.stem === 'up') === (side === -1);
  if (onStem && stemEnd !== null) return stemEnd + side * 3;
  return edge + side * 8;
}

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
      const target = head(e.first, n.id);
      if (target === null) continue;
      const before = i > 0 ? places[i - 1]! : null;
      const origin = before === null ? null : head(before.last, source.id);
      const x1 = e.first.x + leftEdge(e.first, target.y) - 2;
      if (origin === null || before === null) {
        slideLine(pen, Math.max(ends.left, x1 - 20), x1, target.y + 4, target.y);
      } else {
        const x0 = before.last.x + rightEdge(before.last, origin.y) + 2;
        slideLine(pen, x0, x1, origin.y, target.y);
      }
    }
  });
  const last = places.at(-1);
  if (last === undefined || !last.ends) return;
  const next = events[last.index + 1];
  for (const n of next?.notes ?? []) {
    if (n.kind !== 'pitched' || (n.attack !== 'slide' && n.attack !== 'slide-plucked')) continue;
    const source = legatoSource(events, last.index + 1, n.string);
    const origin = source?.id == null ? null : head(last.last, source.id);
    if (origin === null) continue;
    const x0 = last.last.x + rightEdge(last.last, origin.y) + 2;
    slideLine(pen, x0, Math.max(x0 + 8, ends.right - 4), origin.y, origin.y - 4);
  }
}

/** A slide leans even between two notes on one line, so that it is not taken for a part of the staff. */
function slideLine(pen: Pen, x0: number, x1: number, y0: number, y1: number): void {
  const rise = y1 - y0;
  const lean = Math.abs(rise) < 4 ? (rise < 0 ? -4 : 4) * (rise === 0 ? -1 : 1) : rise * 0.8;
  const middle = (y0 + y1) / 2;
  pen.sign('slide').line(x0, middle - lean / 2, x1, middle + lean / 2, 1.3);
}

function rightEdge(p: Placed, y: number): number {
  const here = p.at.station.staff.ink.filter(
    (k) => k.kind !== 'ledger' && k.y0 < y + 4 && k.y1 > y - 4,
  );
  return Math.max(0, ...here.map((k) => k.x1));
}

function leftEdge(p: Placed, y: number): number {
  const here = p.at.station.staff.ink.filter(
    (k) => k.kind !== 'ledger' && k.y0 < y + 4 && k.y1 > y - 4,
  );
  return Math.min(0, ...here.map((k) => k.x0));
}
