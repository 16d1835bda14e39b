import type { HitTable } from './hits';
import { type Fragment, Pen, SPACE } from './ink/pen';
import { Skyline } from './ink/skyline';
import { settingsOf } from './options';
import { type InkedSystem, wrap } from './page/system';
import { THIN_BAR } from './staff/frame';
import { inkTogether, type TogetherPart } from './together';

/** Room for the bracket on the left, in units. */
const INDENT = 14;
/** Thickness of the bracket: half a staff space, as SMuFL's engraving defaults have it. */
const BRACKET = 5;
/** How far the bracket reaches over the staves, before its tips. */
const OVER = 2;
/** The tips end before the music: bar numbers stand over its beginning. */
const TIP = { x: 9, y: 6 };
/** Ink of the two parts is no nearer than this, above each other and a little to either side. */
const GAP = 14;
const BESIDE = 8;
const NAME_SIZE = 12;
const MARGIN = 2;
/** Room under the two, so that lines of music are told from the staves of one. */
const BETWEEN = 16;

/** What stands beneath, with the name that is printed over its first line. */
export interface Beneath extends TogetherPart {
  readonly name: string;
}

/**
 * Two phrases of the same bars as one music: in every line the second stands beneath the first, bar under bar, and
 * a bracket joins them (*common practice* for two players). Chords, tempo and bar numbers stand over the upper one
 * only. What can be pointed at in the lower one is in the table too; ids of the two should differ.
 */
export function engraveJoined(upper: TogetherPart, lower: Beneath): readonly InkedSystem[] {
  const { width, size } = settingsOf(upper.options);
  const inner = width - (INDENT * size) / SPACE;
  const lines = inkTogether([
    { ...upper, options: { ...upper.options, width: inner, size } },
    {
      phrase: { ...lower.phrase, chords: [] },
      options: { ...lower.options, width: inner, size, tempo: false, barNumbers: false },
    },
  ]);
  return lines.flatMap(([above, below], i) => {
    if (above == null) return [];
    return below == null
      ? [alone(above, width)]
      : [joined(above, below, width, i === 0 ? lower.name : '')];
  });
}

/** Units of the drawing left of the music; a line that is too wide is smaller, and its bracket with it. */
function indentOf(line: InkedSystem, width: number): number {
  const scale = line.width / line.units.width;
  return width / scale - line.units.width;
}

function alone(line: InkedSystem, width: number): InkedSystem {
  const pen = new Pen().place(line.whole, indentOf(line, width), 0);
  return drawn(pen, line, null, 0, line.units.height, width);
}

function joined(above: InkedSystem, below: InkedSystem, width: number, name: string): InkedSystem {
  const left = indentOf(above, width);
  const named = name === '' ? below.whole : withName(below, name);
  const y = Math.ceil(clearance(above, named));
  const pen = new Pen().place(above.whole, left, 0).place(named, left, y);
  const from = above.staves.y0;
  const to = below.staves.y1 + y;
  const x = left + THIN_BAR / 2;
  pen.sign('barline').line(x, above.staves.y1, x, below.staves.y0 + y, THIN_BAR);
  drawBracket(pen, left, from, to);
  const height = Math.max(y + below.units.height, to + OVER + TIP.y + MARGIN) + BETWEEN;
  return drawn(pen, above, below, y, height, width);
}

/** Name of the part over the beginning of its line, clear of what stands there. */
function withName({ whole, units }: InkedSystem, name: string): Fragment {
  const sky = new Skyline(-1, units.width, units.height);
  sky.addAll(whole.ink);
  const pen = new Pen().place(whole, 0, 0);
  const text = new Pen().sign('instrument');
  text.text(name, 2, 0, 'italic', NAME_SIZE);
  const box = text.ink[0]!;
  return pen.place(text.done(), 0, sky.at(box.x0, box.x1) - 5 - box.y1).done();
}

/** How far down the lower part begins. */
function clearance(above: InkedSystem, below: Fragment): number {
  const { width } = above.units;
  const bottom = new Skyline(1, width, above.staves.y1);
  bottom.addAll(above.whole.ink);
  const top = new Skyline(-1, width, Number.POSITIVE_INFINITY);
  // A stem just beside a degree reads as one sign with it.
  top.addAll(below.ink.map((k) => ({ ...k, x0: k.x0 - BESIDE, x1: k.x1 + BESIDE })));
  return bottom.distanceTo(top, GAP);
}

/** A thick line with tips that bend to the right. */
function drawBracket(pen: Pen, left: number, from: number, to: number): void {
  const x1 = left - 3;
  const x0 = x1 - BRACKET;
  const y0 = from - OVER;
  const y1 = to + OVER;
  pen.sign('bracket').line((x0 + x1) / 2, y0, (x0 + x1) / 2, y1, BRACKET);
  for (const [y, way] of [
    [y0, -1],
    [y1, 1],
  ] as const) {
    const tip = { x: x0 + TIP.x, y: y + way * TIP.y };
    const middle = { x: x0 + TIP.x * 0.6, y: y + way * 0.6 };
    const end = { x: tip.x - 1.5, y: tip.y };
    pen.curve({ x: x0 + 1, y: y + way * 0.6 }, middle, middle, end, 1.8);
  }
}

function drawn(
  pen: Pen,
  above: InkedSystem,
  below: InkedSystem | null,
  y: number,
  height: number,
  width: number,
): InkedSystem {
  const scale = above.width / above.units.width;
  const left = indentOf(above, width);
  const units = { width: above.units.width + left, height };
  const own = shifted(above.hits, left * scale, 0);
  const other = below === null ? null : shifted(below.hits, left * scale, y * scale);
  return {
    svg: wrap(pen.svg, units.width, height, scale),
    hits: {
      ...own,
      notes: [...own.notes, ...(other?.notes ?? [])],
      rows: [...own.rows, ...(other?.rows ?? [])],
    },
    width: units.width * scale,
    height: Math.ceil(height * scale * 100) / 100,
    bars: above.bars,
    ink: pen.ink,
    units,
    whole: pen.done(),
    staves: { y0: above.staves.y0, y1: below === null ? above.staves.y1 : below.staves.y1 + y },
  };
}

function shifted(t: HitTable, dx: number, dy: number): HitTable {
  return {
    notes: t.notes.map((n) => ({
      ...n,
      ...{ x0: n.x0 + dx, x1: n.x1 + dx, y0: n.y0 + dy, y1: n.y1 + dy },
    })),
    columns: t.columns.map((c) => ({ ...c, x: c.x + dx })),
    bars: t.bars.map((b) => ({ ...b, x0: b.x0 + dx, x1: b.x1 + dx })),
    rows: t.rows.map((r) => ({
      ...r,
      ...{ y0: r.y0 + dy, y1: r.y1 + dy, strings: r.strings.map((s) => s + dy) },
    })),
  };
}
