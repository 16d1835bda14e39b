import type { Phrase } from '../../core/phrase/types';
import type { HitTable } from '../hits';
import type { Fragment, Ink } from '../ink/pen';
import { num, Pen } from '../ink/pen';
import { type Settings, showsRhythm, showsStaff, showsTab } from '../options';
import { stackChangeMarks, stackHandSigns, type VoiceInLine } from '../signs/hand';
import { STAFF_HEIGHT, THIN_BAR } from '../staff/frame';
import { degreeSize } from './bar';
import type { LineLayout } from './line';
import { drawRhythmRow } from './rhythm-row';
import { Row } from './row';
import { drawBars, drawStaffRow, musicLeft, stackTrills } from './staff-row';
import { hitsOf, type RowPlace } from './system-hits';
import { drawTabRow } from './tab-row';
import {
  stackChords,
  stackDegrees,
  stackDynamics,
  stackEndings,
  stackHead,
  stackWords,
} from './text-rows';
import { eventsOf, threadsOf } from './thread';

/** One line of music as text, with where everything in it is. */
export interface EngravedSystem {
  /** A whole `<svg>` element; drawn in `currentColor`, without ids and without style. */
  readonly svg: string;
  readonly hits: HitTable;
  /** px. */
  readonly width: number;
  /** px. */
  readonly height: number;
  /** Numbers of its bars, 0 = pickup. */
  readonly bars: readonly number[];
}

/** The same with every piece of ink, for tests; units and px as the SVG's view box has them. */
export interface InkedSystem extends EngravedSystem {
  readonly ink: readonly Ink[];
  /** Width and height of the view box. */
  readonly units: { readonly width: number; readonly height: number };
  /** All of it, to be put into another drawing. */
  readonly whole: Fragment;
  /** Upper edge of the first staff and lower edge of the last, in units. */
  readonly staves: { readonly y0: number; readonly y1: number };
}

const STAFF_TO_TAB = 16;
const LEAST_STAFF_TO_TAB = 26;
const MARGIN = 2;
const RHYTHM_GAP = 10;

/** The fonts in the order a letter is looked for: signs, then text, then whatever the reader has. */
export const FONT_FAMILY = "'Degreewise Music','Degreewise Text',serif";

/**
 * Draws one line of music: the rows one under the other as near as their ink allows.
 * @param room Units that the page is wide; a line that needs more is made smaller as a whole.
 */
export function drawSystem(p: Phrase, line: LineLayout, s: Settings, room: number): InkedSystem {
  const width = Math.max(room, line.width + 1);
  const rows = drawRows(p, line, s, width);
  stackRows(rows);
  const top = Math.min(...rows.map((r) => r.y + r.row.above.extreme)) - MARGIN;
  const bottom = Math.max(...rows.map((r) => r.y + r.row.below.extreme)) + MARGIN;
  const pen = new Pen();
  for (const r of rows) pen.place(r.row.pen.done(), 0, r.y - top);
  drawLeftLine(pen, rows, top);
  const scale = (s.width * (room / width)) / room;
  const height = bottom - top;
  return {
    svg: wrap(pen.svg, width, height, scale),
    hits: hitsOf(p, line, rows, top, scale, s),
    width: width * scale,
    height: Math.ceil(height * scale * 100) / 100,
    bars: line.bars.map((b) => b.bar.drawn.bar.span.number),
    ink: pen.ink,
    units: { width, height },
    whole: pen.done(),
    staves: stavesIn(rows, top),
  };
}

/** A drawing as a whole `<svg>` element; width and height in units. */
export function wrap(body: string, width: number, height: number, scale: number): string {
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" class="dw-score" width="${num(width * scale)}" height="${num(height * scale)}"` +
    ` viewBox="0 0 ${num(width)} ${num(height)}" fill="currentColor" font-family="${FONT_FAMILY}">${body}</svg>`
  );
}

function drawRows(p: Phrase, line: LineLayout, s: Settings, width: number): RowPlace[] {
  const threads = threadsOf(line);
  const source = { phrase: p, line, width };
  const right = (line.bars.at(-1)?.x1 ?? width) - 1;
  const voices = threads.map(
    (t, v): VoiceInLine => ({
      events: p.voices[v]?.events ?? [],
      places: eventsOf(t, p.voices[v]?.events ?? []),
      left: musicLeft(line),
      right,
    }),
  );
  const rows: RowPlace[] = [];
  if (showsStaff(s)) {
    const row = drawStaffRow(source);
    if (!showsTab(s))
      stackHandSigns(row, voices, { letters: false, spans: 'below', fingers: 'above' });
    if (!showsTab(s)) stackChangeMarks(row, voices, s.changed);
    stackDynamics(row, line, 'below');
    rows.push({ row, kind: 'staff', degrees: [], y: 0 });
  }
  if (showsTab(s)) {
    const row = drawTabRow(source, !showsStaff(s));
    if (!showsStaff(s)) for (const v of voices) stackTrills(row, v.places);
    stackHandSigns(row, voices, { letters: true, spans: 'above', fingers: 'below' });
    if (!showsStaff(s)) stackDynamics(row, line, 'below');
    rows.push({ row, kind: 'tab', degrees: [], y: 0 });
  }
  if (s.staves === 'degrees') {
    rows.push({ ...degreesAlone(line, s, width), kind: 'degree', y: 0 });
  }
  if (showsRhythm(s)) {
    threads.forEach((t, v) => {
      if (t.every((x) => x.place.item.event === null)) return;
      const row = drawRhythmRow(line, t, p.voices[v]?.events ?? [], width);
      rows.push({ row, kind: 'rhythm', degrees: [], y: 0 });
    });
  }
  if (s.staves !== 'degrees' && s.degrees !== null) {
    const row = new Row(width, 0, 0);
    rows.push({ row, degrees: stackDegrees(row, line, s), kind: 'degree', y: 0 });
  }
  const first = rows[0]!.row;
  stackWords(first, line);
  stackChords(first, line);
  stackEndings(first, line);
  stackHead(first, line, p, s);
  return rows;
}

/** The degree line as a row of its own: the degrees between bar lines. */
function degreesAlone(
  line: LineLayout,
  s: Settings,
  width: number,
): Pick<RowPlace, 'row' | 'degrees'> {
  const size = degreeSize(s);
  const stations = line.bars.flatMap((b) => b.stations);
  const count = (v: 0 | 1) => Math.max(0, ...stations.map((x) => x.station.degrees?.lines[v] ?? 0));
  const lines = Math.max(1, count(0) + count(1));
  const height = lines * size * 1.17 + 12;
  const row = new Row(width, 0, 0);
  drawBars(row.pen, line, 0, height, [height / 2 - 5, height / 2 + 5]);
  // Degrees hang from the top of the row, between the bar lines.
  const inner = new Row(width, 0, 0);
  const degrees = stackDegrees(inner, line, s);
  row.pen.place(inner.pen.done(), 0, 0);
  row.settle();
  return { row, degrees };
}

function stackRows(rows: readonly RowPlace[]): void {
  for (let i = 1; i < rows.length; i++) {
    const above = rows[i - 1]!;
    const here = rows[i]!;
    const both = above.kind === 'staff' && here.kind === 'tab';
    const gap = both ? STAFF_TO_TAB : here.kind === 'degree' ? 0 : RHYTHM_GAP;
    const clear = above.row.below.distanceTo(here.row.above, gap);
    const least = both ? STAFF_HEIGHT + LEAST_STAFF_TO_TAB : 0;
    here.y = above.y + Math.max(clear, least);
  }
}

/** Where the staves of a line begin and end; the degree line where there is none. */
function stavesIn(rows: readonly RowPlace[], top: number): InkedSystem['staves'] {
  const staves = rows.filter((r) => r.kind === 'staff' || r.kind === 'tab');
  const first = staves[0] ?? rows[0]!;
  const last = staves.at(-1) ?? first;
  return {
    y0: first.y - top,
    y1: last.y - top + (staves.length === 0 ? last.row.below.extreme : last.row.y1),
  };
}

/** The line at the very left that joins staff and tablature. */
function drawLeftLine(pen: Pen, rows: readonly RowPlace[], top: number): void {
  if (!rows.some((r) => r.kind === 'staff' || r.kind === 'tab')) return;
  const { y0, y1 } = stavesIn(rows, top);
  const x = THIN_BAR / 2;
  pen.sign('barline').line(x, y0, x, y1, THIN_BAR);
}
