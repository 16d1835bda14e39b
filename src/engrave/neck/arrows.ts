import { keyOf } from '../../core/neck/on-neck';
import type { Place } from '../../core/phrase/types';
import { num } from '../ink/pen';
import type { Canvas } from './canvas';
import { type NeckPlan, ROW } from './plan';
import { TAG_HEIGHT } from './tag';

/** From where a note was to where it is, up to the edge of its tag. */
export function drawArrow(
  c: Canvas,
  plan: NeckPlan,
  a: Place,
  b: Place,
  y: (s: number) => number,
): void {
  if (keyOf(a) === keyOf(b)) return;
  const from = [plan.middle(a.fret), y(a.string)] as const;
  const to = [plan.middle(b.fret), y(b.string)] as const;
  if (a.string === b.string) {
    drawArrowAlong(c, from, to);
    return;
  }
  const long = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const [dx, dy] = [(to[0] - from[0]) / long, (to[1] - from[1]) / long];
  // A tag is wider than it is high.
  const off = Math.min(long / 2, Math.abs(dx) * 14 + Math.abs(dy) * 12);
  const tip = [to[0] - dx * off, to[1] - dy * off] as const;
  c.stroke(
    `M${num(from[0] + dx * off)} ${num(from[1] + dy * off)}L${num(tip[0])} ${num(tip[1])}`,
    1.8,
    0.9,
  );
  drawTip(c, tip, [dx, dy]);
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
