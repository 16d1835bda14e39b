import { drawArc, nearerArc, planArc } from '../ink/arc';
import type { Point } from '../ink/curve';
import type { Ink, Pen } from '../ink/pen';
import type { Placed, Thread } from '../page/thread';
import { arcSide, headOf, type LineEnds, obstaclesNear } from './arcs';
import type { HeadPlace } from './heads';

const LIMITS = { least: 4, most: 16 } as const;
/** A tie begins beside the head, this far from its middle. */
const LIFT = 5;
const SHORTEST = 6;
/** How far from its heads a tie may have to go where both voices are in its way. */
const FAR = 200;

/** Ties between the written parts of one event; cut at the ends of the line. */
export function drawTies(pen: Pen, thread: Thread, ends: LineEnds): void {
  thread.forEach((p, i) => {
    const { item, heads } = p.place;
    if (item.event === null || heads === null) return;
    const next = thread[i + 1];
    // From the inside outwards, so that an outer tie passes the inner ones.
    for (const k of insideOut(heads.heads.length)) {
      const h = heads.heads[k]!;
      if (item.notes[k]!.note.kind === 'dead') continue;
      const side = tieSide(p, k, isDivided(p) || (next !== undefined && isDivided(next)));
      if (item.written.tieStart) {
        const follower = next === undefined ? null : headOf(next, h.id);
        const y = item.notes[k]!.tieY;
        const bent = item.notes[k]!.held;
        const from = bent ? bentHead(p, y) : h.x1;
        const x0 = p.x + (bent ? from : clearRight(p, h, side));
        const x1 = follower === null ? ends.right - 2 : next!.x + clearLeft(next!, follower, side);
        const bare = follower === null ? x1 : next!.x + follower.x0;
        const y1 = follower?.y ?? y;
        if (x1 - x0 >= SHORTEST) drawTie(pen, { x: x0 + 1, y }, { x: x1 - 1, y: y1 }, side);
        else {
          const to = Math.max(bare - 1, p.x + from + 5);
          drawTie(pen, { x: p.x + from + 1, y }, { x: to, y: y1 }, side);
        }
      }
      if (item.written.tieStop && i === 0) {
        const x1 = p.x + clearLeft(p, h, side) - 1;
        const x0 = Math.min(Math.max(ends.left, x1 - 22), x1 - SHORTEST);
        drawTie(pen, { x: x0, y: h.y }, { x: x1, y: h.y }, side);
      }
    }
  });
}

/** Level, but for a bend that is let go in a later part of its note. */
function drawTie(pen: Pen, a: Point, b: Point, side: -1 | 1): void {
  // Between two voices a tie may have to pass a stem.
  const [y0, y1] = [Math.min(a.y, b.y) - FAR, Math.max(a.y, b.y) + FAR];
  const obstacles = obstaclesNear(pen, a.x, b.x, y0, y1).filter((k) => k.kind !== 'stem');
  const plan = (s: -1 | 1) => {
    const lift = s * LIFT;
    return planArc({ x: a.x, y: a.y + lift }, { x: b.x, y: b.y + lift }, s, obstacles, LIMITS);
  };
  const other = side === -1 ? 1 : -1;
  drawArc(
    pen.sign('tie'),
    nearerArc(plan(side), () => plan(other)),
  );
}

/** Right edge of the small head at the end of a bend. */
function bentHead(p: Placed, y: number): number {
  const heads = p.at.station.staff.ink.filter((k) => k.kind === 'target' && k.y0 < y && k.y1 > y);
  return Math.max(0, ...heads.map((k) => k.x1));
}

/** Right edge of what stands where the tie begins: dots, brackets, a second, a bend. */
function clearRight(p: Placed, h: HeadPlace, side: -1 | 1): number {
  return Math.max(h.x1, ...atHeight(p, h.y, side).map((k) => k.x1));
}

/** Left edge of what stands where it ends: brackets, a second, another voice's accidental. */
function clearLeft(p: Placed, h: HeadPlace, side: -1 | 1): number {
  return Math.min(h.x0, ...atHeight(p, h.y, side).map((k) => k.x0));
}

function atHeight(p: Placed, headY: number, side: -1 | 1): readonly Ink[] {
  const near = headY + side * (LIFT - 1);
  const far = headY + side * (LIFT + 6);
  const y0 = Math.min(near, far);
  const y1 = Math.max(near, far);
  return p.at.station.staff.ink.filter((k) => k.kind !== 'ledger' && k.y1 > y0 && k.y0 < y1);
}

function insideOut(count: number): readonly number[] {
  const middle = (count - 1) / 2;
  return Array.from({ length: count }, (_, i) => i).sort(
    (a, b) => Math.abs(a - middle) - Math.abs(b - middle),
  );
}

function isDivided(p: Placed): boolean {
  return p.bar.bar.drawn.bar.divided;
}

/** In a chord the upper half of the ties goes up, the lower half down; the middle one with the stem. */
function tieSide(p: Placed, index: number, divided: boolean): -1 | 1 {
  const count = p.place.item.notes.length;
  if (count === 1 || divided) return arcSide(p, divided);
  const middle = (count - 1) / 2;
  if (index === middle) return arcSide(p, divided);
  return index > middle ? -1 : 1;
}
