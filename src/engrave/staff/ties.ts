import { drawArc, nearerArc, planArc } from '../ink/arc';
import type { Ink, Pen } from '../ink/pen';
import type { Placed, Thread } from '../page/thread';
import { arcSide, headOf, type LineEnds, obstaclesNear } from './arcs';
import type { HeadPlace } from './heads';

const LIMITS = { least: 4, most: 16 } as const;
/** A tie begins beside the head, this far from its middle. */
const LIFT = 5;
const SHORTEST = 6;

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
        const x0 = p.x + clearRight(p, h, side);
        const x1 = follower === null ? ends.right - 2 : next!.x + clearLeft(next!, follower, side);
        const bare = follower === null ? x1 : next!.x + follower.x0;
        if (x1 - x0 >= SHORTEST) drawTie(pen, x0 + 1, x1 - 1, h.y, side);
        else drawTie(pen, p.x + h.x1 + 1, Math.max(bare - 1, p.x + h.x1 + 5), h.y, side);
      }
      if (item.written.tieStop && i === 0) {
        const x1 = p.x + clearLeft(p, h, side) - 1;
        drawTie(pen, Math.min(Math.max(ends.left, x1 - 22), x1 - SHORTEST), x1, h.y, side);
      }
    }
  });
}

function drawTie(pen: Pen, x0: number, x1: number, headY: number, side: -1 | 1): void {
  // Between two voices a tie may have to pass a stem.
  const obstacles = obstaclesNear(pen, x0, x1, headY - 35, headY + 35).filter(
    (k) => k.kind !== 'stem',
  );
  const plan = (s: -1 | 1) => {
    const y = headY + s * LIFT;
    return planArc({ x: x0, y }, { x: x1, y }, s, obstacles, LIMITS);
  };
  const other = side === -1 ? 1 : -1;
  drawArc(
    pen.sign('tie'),
    nearerArc(plan(side), () => plan(other)),
  );
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
