import type { ChordSymbol, Instrument, Mark, Phrase, Ticks } from '../../core/phrase/types';
import { TICKS_PER_QUARTER } from '../../core/phrase/types';
import type { Box } from '../ink/box';
import { distanceBetween } from '../ink/contour';
import type { Fragment } from '../ink/pen';
import { EMPTY } from '../ink/pen';
import { type Settings, showsRhythm, showsStaff, showsTab } from '../options';
import type { ScoreBar, ScoreItem } from '../score/score';
import { type Gap, idealRoom } from '../space/springs';
import { drawStaffColumn } from '../staff/column';
import type { ItemPlace } from '../staff/places';
import { drawTabColumn, type GraceJoin } from '../tab/column';
import type { FretPlace } from '../tab/strings';
import { drawChordName } from '../text/chord-name';
import { DEGREE_SIZE, drawDegrees } from '../text/degrees';
import { rhythmExtent } from './rhythm-size';

/** One moment of a bar, drawn; x of everything from the column's own origin. */
export interface Station {
  readonly onset: Ticks;
  readonly items: readonly ItemPlace[];
  readonly staff: Fragment;
  readonly tab: Fragment;
  readonly frets: readonly FretPlace[];
  readonly graceJoins: readonly GraceJoin[];
  /** Symbol over it, at its own origin. */
  readonly chord: Fragment | null;
  /** Left and right edge of the degrees under it; null without any. */
  readonly degrees: {
    readonly x0: number;
    readonly x1: number;
    readonly lines: readonly [number, number];
  } | null;
  /** Room of its small notes, where the rhythm has a line of its own. */
  readonly rhythm: { readonly x0: number; readonly x1: number } | null;
  readonly marks: readonly Mark[];
}

/** A bar with everything drawn that does not depend on the room it gets. */
export interface DrawnBar {
  readonly bar: ScoreBar;
  readonly stations: readonly Station[];
  /** From the left bar line to the first station, between stations, and to the right bar line. */
  readonly gaps: readonly Gap[];
}

/** Ink nearer than this looks crowded. */
const STAFF_GAP = 3.5;
const TAB_GAP = 3.5;
/** Room for the line or arc between two notes that are played as one motion. */
const LED_GAP = 12;
/** From head to head, and where a tie joins them. */
const HEAD_ROOM = 17;
const TIED_ROOM = 24;
const TIE_GAP = 9;
const TALL = 1000;
const RHYTHM_GAP = 3;
const AFTER_BARLINE = 11;
const BEFORE_BARLINE = 6;
const EMPTY_BAR = 90;

/** A bar line as the neighbours see it: they keep clear of it far above and below the staff too. */
const WALL: readonly Box[] = [{ x0: 0, x1: 0, y0: -1000, y1: 1000 }];

/** What of the phrase and the settings a bar is drawn from. */
export interface BarSource {
  readonly bar: ScoreBar;
  readonly chords: readonly { readonly onset: Ticks; readonly symbol: ChordSymbol | null }[];
  readonly marks: readonly Mark[];
  readonly instrument: Instrument;
}

/** The chords and marks of each bar. */
export function barSources(p: Phrase, bars: readonly ScoreBar[]): readonly BarSource[] {
  return bars.map((bar, i) => {
    const { start, end } = bar.span;
    const last = i === bars.length - 1;
    const inside = (t: Ticks) => t >= start && (t < end || (last && t <= end));
    return {
      bar,
      chords: p.chords.filter((c) => inside(c.onset)),
      marks: p.marks.filter((m) => inside(m.onset)),
      instrument: p.instrument,
    };
  });
}

/** Draws what stands in one bar, before its width is known. */
export function drawBar(source: BarSource, s: Settings): DrawnBar {
  const stations = drawStations(source, s);
  return { bar: source.bar, stations, gaps: gapsOf(source.bar, stations) };
}

function drawStations(source: BarSource, s: Settings): Station[] {
  const { bar, chords, marks } = source;
  const onsets = new Set(bar.columns.map((c) => c.onset));
  for (const c of chords) onsets.add(c.onset);
  for (const m of marks) onsets.add(m.onset);
  const columns = new Map(bar.columns.map((c) => [c.onset, c]));
  return [...onsets]
    .sort((a, b) => a - b)
    .map((onset): Station => {
      const column = columns.get(onset);
      const chord = chords.find((c) => c.onset === onset);
      const shared = {
        onset,
        chord: chord === undefined ? null : drawChordName(chord.symbol),
        marks: marks.filter((m) => m.onset === onset),
      };
      if (column === undefined) {
        return {
          ...shared,
          items: [],
          staff: EMPTY,
          tab: EMPTY,
          frets: [],
          graceJoins: [],
          degrees: null,
          rhythm: null,
        };
      }
      const drawn = showsStaff(s)
        ? drawStaffColumn(column, { changed: s.changed, alone: !showsTab(s), divided: bar.divided })
        : { fragment: EMPTY, items: column.items.map(plainPlace) };
      const tab = showsTab(s)
        ? drawTabColumn(drawn.items, {
            instrument: source.instrument,
            changed: s.changed,
            barStart: bar.span.start,
          })
        : { fragment: EMPTY, frets: [], graceJoins: [] };
      return {
        ...shared,
        items: drawn.items,
        staff: drawn.fragment,
        tab: tab.fragment,
        frets: tab.frets,
        graceJoins: tab.graceJoins,
        degrees: degreeExtent(drawn.items, s),
        rhythm: showsRhythm(s) ? rhythmRoom(drawn.items) : null,
      };
    });
}

/** Where there is no staff, everything is centred on where a head would be. */
function plainPlace(item: ScoreItem): ItemPlace {
  return { item, heads: null, centre: 5.9, sharedWith: null, stemEnd: null };
}

function rhythmRoom(items: readonly ItemPlace[]): { x0: number; x1: number } {
  const rooms = items.map((p) => ({ at: p.centre, ...rhythmExtent(p.item) }));
  return {
    x0: Math.min(...rooms.map((r) => r.at + r.x0)),
    x1: Math.max(...rooms.map((r) => r.at + r.x1)),
  };
}

function degreeExtent(items: readonly ItemPlace[], s: Settings): Station['degrees'] {
  if (s.degrees === null) return null;
  const { fragment, lines } = drawDegrees(items, s.degrees, 0, s.changed, degreeSize(s));
  if (fragment.ink.length === 0) return null;
  return {
    x0: Math.min(...fragment.ink.map((k) => k.x0)),
    x1: Math.max(...fragment.ink.map((k) => k.x1)),
    lines,
  };
}

/** The size of degrees in units of the page: larger where nothing but them is shown. */
export function degreeSize(s: Settings): number {
  return s.staves === 'degrees' ? 17 : DEGREE_SIZE;
}

function gapsOf(bar: ScoreBar, stations: readonly Station[]): Gap[] {
  const first = stations[0];
  const { end } = bar.span;
  if (first === undefined) return [{ least: EMPTY_BAR, ideal: idealRoom(4) }];
  const gaps: Gap[] = [];
  // A long sign may reach past its neighbour: the least places are found first, then the gaps.
  const least: number[] = [0];
  for (let i = 1; i < stations.length; i++) {
    let x = least[i - 1]!;
    for (let j = Math.max(0, i - 5); j < i; j++) {
      x = Math.max(x, least[j]! + between(stations[j]!, stations[i]!, i - j === 1));
    }
    least.push(x);
    const quarters = (stations[i]!.onset - stations[i - 1]!.onset) / TICKS_PER_QUARTER;
    gaps.push({ least: x - least[i - 1]!, ideal: idealRoom(quarters) });
  }
  // What hangs to the left of a later station must not reach the bar line either.
  const lead = Math.max(...stations.map((s, i) => leadRoom(s) - least[i]!));
  gaps.unshift({ least: lead, ideal: 0 });
  const tail = Math.max(...stations.map((s, i) => least[i]! + tailRoom(s))) - least.at(-1)!;
  const quarters = (end - stations.at(-1)!.onset) / TICKS_PER_QUARTER;
  gaps.push({ least: Math.max(tail, BEFORE_BARLINE), ideal: idealRoom(quarters) });
  if (bar.silent) {
    const sum = gaps.reduce((a, g) => a + g.least, 0);
    if (sum < EMPTY_BAR) {
      const g = gaps.at(-1)!;
      gaps[gaps.length - 1] = { ...g, least: g.least + EMPTY_BAR - sum };
    }
  }
  return gaps;
}

/** From the bar line's right edge to the origin of the first station. */
function leadRoom(s: Station): number {
  const ink = [...s.staff.taken, ...s.tab.ink];
  const need = distanceBetween(WALL, ink, 7);
  return Math.max(AFTER_BARLINE, need, s.degrees === null ? 0 : 2 - s.degrees.x0);
}

function tailRoom(s: Station): number {
  const ink = [...s.staff.taken, ...s.tab.ink];
  const room = s.items.length > 0 ? 12 + BEFORE_BARLINE : BEFORE_BARLINE;
  return Math.max(
    room,
    distanceBetween(ink, WALL, s.items.some((p) => p.item.leadsOn) ? LED_GAP : BEFORE_BARLINE),
    s.degrees === null ? 0 : s.degrees.x1 + 2,
  );
}

/** Whether something leads from the station before to this one: an arc or the line of a slide. */
function isLedTo(s: Station): boolean {
  return s.items.some(
    (p) =>
      p.item.written.part === 1 &&
      p.item.event?.notes.some(
        (n) => n.kind === 'pitched' && n.attack !== undefined && n.attack !== 'tap',
      ),
  );
}

function isSlidTo(s: Station): boolean {
  return s.items.some((p) =>
    p.item.event?.notes.some(
      (n) => n.kind === 'pitched' && (n.attack === 'slide' || n.attack === 'slide-plucked'),
    ),
  );
}

function between(a: Station, b: Station, neighbours: boolean): number {
  const led = neighbours && isLedTo(b);
  const degrees = a.degrees === null || b.degrees === null ? 0 : a.degrees.x1 - b.degrees.x0 + 5;
  const slid = led && isSlidTo(b);
  const tied = a.items.some((p) => p.item.written.tieStart);
  const room =
    neighbours && a.items.length > 0 && b.items.length > 0 ? (tied ? TIED_ROOM : HEAD_ROOM) : 0;
  return Math.max(
    room,
    neighbours ? 3 : 0,
    distanceBetween(a.staff.taken, b.staff.taken, led ? LED_GAP : STAFF_GAP, 2),
    distanceBetween(a.tab.ink, b.tab.ink, led ? LED_GAP : TAB_GAP, 2),
    degrees,
    a.rhythm === null || b.rhythm === null ? 0 : a.rhythm.x1 - b.rhythm.x0 + RHYTHM_GAP,
    // The line of a slide has room between all that stands at its ends, at any height.
    slid ? distanceBetween(a.staff.ink, b.staff.ink, LED_GAP, TALL) : 0,
    tied ? distanceBetween(a.staff.ink, b.staff.ink, TIE_GAP, 8) : 0,
  );
}

/**
 * Everything a bar's drawing depends on; equal lists mean the same drawing. Events are compared by
 * identity: an edit keeps those it does not touch.
 */
export function barKey(source: BarSource, s: Settings): readonly unknown[] {
  const { bar } = source;
  const { span } = bar;
  const key: unknown[] = [source.instrument, s.staves, span.number, span.start, span.end];
  key.push(span.bar.meter.beats, span.bar.meter.beatType, span.bar.repeatStart);
  key.push(span.bar.repeatEnd, span.bar.ending?.join(), bar.divided);
  for (const c of source.chords) key.push(c.onset, c.symbol);
  for (const m of source.marks) key.push(m.kind, m.onset, m.kind === 'words' ? m.text : m.value);
  for (const voice of bar.voices) {
    key.push('voice');
    for (const item of voice) pushItem(key, item, s);
  }
  return key;
}

function pushItem(key: unknown[], item: ScoreItem, s: Settings): void {
  const w = item.written;
  key.push(item.event, w.onset, w.value, w.dots, w.part, w.tieStart, w.wholeBar);
  key.push(item.stem, item.octave, item.leadsOn, w.beams.join());
  key.push(w.tuplet?.actual, w.tuplet?.normal, w.tuplet?.start);
  for (const n of item.notes) {
    const { id } = n.note;
    const label = s.degrees?.get(id);
    key.push(n.y, n.accidental, n.target?.accidental);
    key.push(s.changed.has(id), label?.text, label?.className);
  }
  for (const g of item.graces) for (const n of g.notes) key.push(n.y, n.accidental);
}
