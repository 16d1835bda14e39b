import { keyOf } from '../../core/neck/on-neck';
import type { Place } from '../../core/phrase/types';
import { num } from '../ink/pen';
import type { Canvas } from './canvas';
import { type NeckPlan, ROW } from './plan';
import { TAG_HEIGHT } from './tag';

/** Half the width of what stands at a place. */
export type HalfWidth = (at: Place) => number;

/** Between the edge of a tag and an arrow, units. */
const CLEAR = 2;

/** From where a note was to where it is, from the edge of one tag to the edge of the other. */
export function drawArrow(
  c: Canvas,
  plan: NeckPlan,
  a: Place,
  b: Place,
  y: (s: number) => number,
  half: HalfWidth,
): void {
  if (keyOf(a) === keyOf(b)) return;
  const from = [plan.middle(a.fret), y(a.string)] as const;
  const to = [plan.middle(b.fret), y(b.string)] as const;
  c.raw('<g class="dw-neck-arrow">');
  if (a.string === b.string) drawArrowAlong(c, from, to);
  else drawArrowAcross(c, from, to, half(a), half(b));
  c.raw('</g>');
}

function drawArrowAcross(c: Canvas, from: Point, to: Point, leave: number, reach: number): void {
  const long = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const way = [(to[0] - from[0]) / long, (to[1] - from[1]) / long] as const;
  const [out, off] = [toEdge(way, leave), toEdge(way, reach)];
  const tip = [to[0] - way[0] * off, to[1] - way[1] * off] as const;
  c.stroke(
    `M${num(from[0] + way[0] * out)} ${num(from[1] + way[1] * out)}L${num(tip[0])} ${num(tip[1])}`,
    1.8,
    0.9,
  );
  drawTip(c, tip, way);
}

/** How far it is from the middle of a tag to its edge, in a direction. */
function toEdge([dx, dy]: Point, half: number): number {
  const along = dx === 0 ? Number.POSITIVE_INFINITY : (half + CLEAR) / Math.abs(dx);
  return Math.min(along, (TAG_HEIGHT / 2 + CLEAR) / Math.abs(dy));
}

type Point = readonly [x: number, y: number];

/**
 * Along a string it would run through what lies between: it goes below the tags, the farther the
 * deeper, so that two of them can be told apart.
 */
function drawArrowAlong(c: Canvas, from: Point, to: Point): void {
  const way = Math.sign(to[0] - from[0]);
  const long = Math.abs(to[0] - from[0]);
  const y = from[1] + TAG_HEIGHT / 2 + 1;
  const deep = Math.min(ROW * 0.55, 10 + long * 0.08);
  const tip: Point = [to[0] - way * 4, y + 1];
  const bend = Math.min(long / 3, 24);
  const [c0, c1] = [from[0] + way * bend, tip[0] - way * bend];
  c.stroke(
    `M${num(from[0] + way * 4)} ${num(y)}C${num(c0)} ${num(y + deep)} ${num(c1)} ${num(y + deep)} ${num(tip[0])} ${num(tip[1])}`,
    1.6,
    0.9,
  );
  const steep = Math.hypot(tip[0] - c1, deep - 1);
  drawTip(c, tip, [(tip[0] - c1) / steep, (1 - deep) / steep]);
}

function drawTip(c: Canvas, [x, y]: Point, [dx, dy]: Point): void {
  const wing = (side: number) =>
    `L${num(x - dx * 7 - side * dy * 4)} ${num(y - dy * 7 + side * dx * 4)}`;
  c.raw(`<path d="M${num(x)} ${num(y)}${wing(1)}${wing(-1)}Z"/>`);
}
