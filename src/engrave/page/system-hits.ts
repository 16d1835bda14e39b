import type { Phrase } from '../../core/phrase/types';
import type { ColumnHit, HitTable, NoteHit, RowHit } from '../hits';
import type { Box } from '../ink/box';
import { type Settings, showsTab } from '../options';
import { stringY } from '../tab/strings';
import type { BarPlace, LineLayout } from './line';
import type { Row } from './row';
import { tabHeight } from './tab-row';
import type { DegreePlace } from './text-rows';

/** A row of a line of music and how far down it lies. */
export interface RowPlace {
  readonly row: Row;
  readonly kind: RowHit['row'] | 'rhythm';
  readonly degrees: readonly DegreePlace[];
  y: number;
}

/**
 * Where everything of a line of music can be pointed at, in px.
 * @param top y of the upper edge of the picture, in units of the first row.
 * @param scale px a unit.
 */
export function hitsOf(
  p: Phrase,
  line: LineLayout,
  rows: readonly RowPlace[],
  top: number,
  scale: number,
  s: Settings,
): HitTable {
  return {
    notes: noteHits(line, rows, top, scale),
    columns: line.bars.flatMap((b) => columnHits(b, scale)),
    bars: line.bars.map((b) => ({
      number: b.bar.drawn.bar.span.number,
      x0: b.x0 * scale,
      x1: b.x1 * scale,
      start: b.bar.drawn.bar.span.start,
      end: b.bar.drawn.bar.span.end,
    })),
    rows: rows.flatMap((r) => rowHits(r, p, top, scale, s)),
  };
}

function noteHits(
  line: LineLayout,
  rows: readonly RowPlace[],
  top: number,
  scale: number,
): readonly NoteHit[] {
  const notes: NoteHit[] = [];
  const hit = (
    row: NoteHit['row'],
    id: string,
    onset: number,
    { x0, x1, y0, y1 }: Box,
    dx: number,
    dy: number,
  ) => {
    const [left, right] = [(x0 + dx) * scale, (x1 + dx) * scale];
    notes.push({
      id,
      row,
      onset,
      x0: left,
      x1: right,
      y0: (y0 + dy) * scale,
      y1: (y1 + dy) * scale,
    });
  };
  const yOf = (kind: RowPlace['kind']) => {
    const r = rows.find((x) => x.kind === kind);
    return r === undefined ? null : r.y - top;
  };
  const staffY = yOf('staff');
  const tabY = yOf('tab');
  for (const { station, x } of line.bars.flatMap((b) => b.stations)) {
    const { onset } = station;
    for (const h of station.items.flatMap((i) => i.heads?.heads ?? [])) {
      const box = { x0: h.x0, x1: h.x1, y0: h.y - 5, y1: h.y + 5 };
      if (staffY !== null) hit('staff', h.id, onset, box, x, staffY);
    }
    for (const f of station.frets) if (tabY !== null) hit('tab', f.id, onset, f.box, x, tabY);
  }
  for (const r of rows) {
    for (const d of r.degrees) hit('degree', d.id, d.onset, d.box, 0, r.y - top);
  }
  return notes;
}

function columnHits(b: BarPlace, scale: number): readonly ColumnHit[] {
  return b.stations
    .filter((x) => x.station.items.length > 0)
    .map((x) => ({
      onset: x.station.onset,
      bar: b.bar.drawn.bar.span.number,
      x: (x.x + x.station.items[0]!.centre) * scale,
    }));
}

function rowHits(
  r: RowPlace,
  p: Phrase,
  top: number,
  scale: number,
  s: Settings,
): readonly RowHit[] {
  if (r.kind === 'rhythm') return [];
  const strings = showsTab(s) ? p.instrument.tuning.map((_, i) => stringY(i + 1)) : [];
  const y0 = (r.y - top) * scale;
  return [
    {
      row: r.kind,
      y0,
      y1: y0 + heightOf(r, p) * scale,
      strings: r.kind === 'tab' ? strings.map((y) => y0 + y * scale) : [],
    },
  ];
}

function heightOf(r: RowPlace, p: Phrase): number {
  if (r.kind === 'tab') return tabHeight(p.instrument.tuning.length);
  return r.kind === 'degree' ? r.row.below.extreme : r.row.y1;
}
