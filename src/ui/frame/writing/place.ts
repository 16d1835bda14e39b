import { penTicks, voiceOf } from '../../../core/edit/select';
import type { Cell, EditState } from '../../../core/edit/state';
import { signatureAlters } from '../../../core/phrase/accidentals';
import { beatTicks } from '../../../core/phrase/time';
import type { Phrase, Ticks } from '../../../core/phrase/types';
import { endOf } from '../../../core/phrase/walk';
import { signatureFifths } from '../../../core/theory/key';
import { isAlter, LETTERS, type Pitch } from '../../../core/theory/pitch';
import type { BarHit, HitTable, RowHit } from '../../../engrave/hits';
import type { EngravedSystem } from '../../../engrave/page/system';
import { clefOf } from '../../../engrave/score/clef';

/** A place in a line of music, in px from its top left corner. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Room between a bar line and the first note, and from the last bar line to a cursor behind it. */
const LEAD = 1.7;
const BEHIND = 1.2;
const MARGIN = 0.6;

/** The line that holds a moment; for the end of the phrase the last one. */
export function lineOf(systems: readonly EngravedSystem[], onset: Ticks): number {
  const found = systems.findIndex((s) =>
    s.hits.bars.some((b) => b.start <= onset && onset < b.end),
  );
  return found < 0 ? systems.length - 1 : found;
}

/** Height of a staff space in px, from the distance of the strings. */
export function spaceOf(hits: HitTable): number {
  const tab = rowOf(hits, 'tab');
  const [a, b] = tab?.strings ?? [];
  if (a !== undefined && b !== undefined) return (b - a) / 1.3;
  const staff = rowOf(hits, 'staff');
  return staff === null ? 8 : (staff.y1 - staff.y0) / 4;
}

/** A staff or the tablature of a line; null where it has none. */
export function rowOf(hits: HitTable, row: RowHit['row']): RowHit | null {
  return hits.rows.find((r) => r.row === row) ?? null;
}

/** x of any moment of a line: of its notes where there are some, else by the time between them. */
export function xOf(line: EngravedSystem, onset: Ticks): number {
  const { hits } = line;
  const space = spaceOf(hits);
  const bar = hits.bars.find((b) => b.start <= onset && onset < b.end);
  if (bar === undefined) {
    const last = hits.bars.at(-1);
    const x = (last?.x1 ?? 0) + BEHIND * space;
    // A full line has the margin of the page for it.
    return Math.min(x, line.width + MARGIN * space);
  }
  const anchors = anchorsOf(hits, bar, space);
  const after = anchors.findIndex((a) => a.onset > onset);
  const a = anchors[after - 1] ?? anchors[0]!;
  const b = anchors[after] ?? a;
  return b.onset === a.onset ? a.x : a.x + ((b.x - a.x) * (onset - a.onset)) / (b.onset - a.onset);
}

/** Moments of a bar whose place is known, its beginning and its end among them. */
function anchorsOf(hits: HitTable, bar: BarHit, space: number) {
  const columns = hits.columns.filter((c) => c.onset >= bar.start && c.onset < bar.end);
  const start = { onset: bar.start, x: bar.x0 + LEAD * space };
  return [
    ...(columns[0]?.onset === bar.start ? [] : [start]),
    ...columns,
    { onset: bar.end, x: bar.x1 },
  ];
}

/**
 * The moments a pointer can go to in a bar: where something starts, and between that the steps of
 * the pen from the beginning of the bar.
 */
function momentsOf(s: EditState, bar: BarHit, isLast: boolean): readonly Ticks[] {
  const voice = voiceOf(s);
  const starts = voice.events.map((e) => e.onset).filter((t) => t >= bar.start && t < bar.end);
  const ends = voice.events.map(endOf).filter((t) => t >= bar.start && t < bar.end);
  const divided = voice.tuplets
    .filter((t) => t.onset >= bar.start && t.onset < bar.end)
    .flatMap((t) =>
      Array.from({ length: t.actual }, (_, i) => t.onset + (i * t.duration) / t.actual),
    );
  const meter = s.phrase.bars[Math.max(0, bar.number - 1)]?.meter;
  const beat = meter === undefined ? bar.end - bar.start : beatTicks(meter);
  const step = Math.min(beat, penTicks({ ...s.pen, tuplet: null }));
  const inTuplet = (t: Ticks) => voice.tuplets.some((x) => x.onset < t && t < x.onset + x.duration);
  const steps: Ticks[] = [];
  for (let t = bar.start; t < bar.end; t += step) if (!inTuplet(t)) steps.push(t);
  const all = [...starts, ...ends, ...divided, ...steps, ...(isLast ? [bar.end] : [])];
  return [...new Set(all)].sort((a, b) => a - b);
}

/** The moment that a point of a line means. */
export function momentAt(s: EditState, line: EngravedSystem, x: number): Ticks {
  const { bars } = line.hits;
  const bar = bars.find((b) => x < b.x1) ?? bars.at(-1);
  if (bar === undefined) return 0;
  const isLast = bar.end >= s.phrase.length;
  let best = bar.start;
  let least = Number.POSITIVE_INFINITY;
  for (const t of momentsOf(s, bar, isLast)) {
    const distance = Math.abs(xOf(line, t) - x);
    if (distance < least) {
      least = distance;
      best = t;
    }
  }
  return best;
}

/** The cell that a point of the tablature means; null elsewhere. */
export function cellAt(s: EditState, line: EngravedSystem, at: Point): Cell | null {
  const tab = rowOf(line.hits, 'tab');
  if (tab === null) return null;
  const space = spaceOf(line.hits);
  if (at.y < tab.y0 - 1.5 * space || at.y > tab.y1 + 1.5 * space) return null;
  let string = 1;
  tab.strings.forEach((y, i) => {
    if (Math.abs(y - at.y) < Math.abs(tab.strings[string - 1]! - at.y)) string = i + 1;
  });
  return { onset: momentAt(s, line, at.x), string };
}

/** Lines above and below the staff that can be pointed at, in staff spaces. */
const LEDGERS = 4;

/** The sounding pitch that a point of the staff means, in the key's accidentals; null elsewhere. */
export function pitchAt(p: Phrase, line: EngravedSystem, y: number): Pitch | null {
  const staff = rowOf(line.hits, 'staff');
  if (staff === null) return null;
  const space = (staff.y1 - staff.y0) / 4;
  const below = Math.round(((y - staff.y0) / space) * 2);
  if (below < -2 * LEDGERS || below > 8 + 2 * LEDGERS) return null;
  const clef = clefOf(p.instrument);
  const step = clef.topStep - below - 7 * clef.octaves;
  const letter = LETTERS[((step % 7) + 7) % 7]!;
  const alter = signatureAlters(signatureFifths(p.key)).get(letter) ?? 0;
  return isAlter(alter) ? { letter, alter, octave: Math.floor(step / 7) } : null;
}
