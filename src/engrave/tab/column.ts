import { measureText } from '../font/measure';
import { distanceBetween, placeLeft, placeRight } from '../ink/contour';
import { type Fragment, Pen } from '../ink/pen';
import type { ScoreItem } from '../score/score';
import type { ItemPlace } from '../staff/places';
import { drawBends } from './bends';
import { baseOf, drawFrets } from './frets';
import { type FretPlace, SMALL_FRET_SIZE as SMALL_SIZE, stringY, type TabStyle } from './strings';

export interface TabColumn {
  readonly fragment: Fragment;
  readonly frets: readonly FretPlace[];
  /** Where small notes are hammered or pulled off to what follows them. */
  readonly graceJoins: readonly GraceJoin[];
}

/** The middle of the arc from a small fret to the next on its string, from the column's origin. */
export interface GraceJoin {
  readonly attack: 'hammer-on' | 'pull-off';
  readonly x: number;
  readonly voice: 0 | 1;
}

/**
 * Draws what one moment has on the tablature: each fret under the middle of its notehead, with
 * brackets, small graces, slides in and out, muted strings, strums and bends.
 */
export function drawTabColumn(items: readonly ItemPlace[], style: TabStyle): TabColumn {
  const pen = new Pen();
  const frets = items.flatMap((p) => drawFrets(pen, p, style));
  const graceJoins = items.flatMap((p) =>
    p.item.written.part === 1 ? drawTabGraces(pen, p.item, frets) : [],
  );
  for (const p of items) if (p.item.written.part === 1) drawSlidesIn(pen, p.item);
  for (const p of items) if (p.item.written.part === 1) drawRake(pen, p.item);
  for (const p of items) if (p.item.written.part === 1) drawStrum(pen, p.item);
  drawBends(
    pen,
    items.filter((p) => p.item.written.part === 1).flatMap((p) => p.item.notes),
    frets,
  );
  for (const p of items) if (!p.item.written.tieStart) drawSlidesOut(pen, p.item);
  return { fragment: pen.done(), frets, graceJoins };
}

/** A small fret and what leads from it to the next on its string. */
interface Joined {
  readonly string: number;
  readonly fret: number;
  /** The next is lower on the string. */
  readonly down: boolean;
  readonly join: GraceJoin['attack'] | 'slide' | null;
}

/** Small frets before the note; a line or an arc leads from one to the next on the same string. */
function drawTabGraces(pen: Pen, item: ScoreItem, frets: readonly FretPlace[]): GraceJoin[] {
  const joins: GraceJoin[] = [];
  interface Step {
    readonly notes: readonly Joined[];
  }
  // From the right: each chord leads to what stands after it.
  const later = item.graces.map((_, i) => item.graces[i + 1] ?? null);
  const steps: Step[] = item.graces.map((g, i) => ({
    notes: g.notes.map((n) => {
      const next = later[i]!;
      if (next === null) {
        const note = item.event?.notes.find((m) => m.string === n.string);
        const down = note !== undefined && note.fret < n.fret;
        return { ...n, down, join: joinToNote(item, g.slideIn, n.string) };
      }
      const same = next.notes.find((m) => m.string === n.string);
      const down = same !== undefined && same.fret < n.fret;
      return { ...n, down, join: same?.attack ?? null };
    }),
  }));
  let targets = new Map(frets.map((f) => [f.string, leftOnString(pen, f)]));
  for (const step of steps.reverse()) {
    const room = step.notes.some((n) => n.join !== null) ? 9 : 3;
    const chord = new Pen();
    for (const n of step.notes) {
      const text = String(n.fret);
      const m = measureText(text, 'text', SMALL_SIZE);
      chord
        .sign('grace-fret')
        .text(text, -m.x1, baseOf(stringY(n.string), SMALL_SIZE), 'text', SMALL_SIZE);
    }
    const fragment = chord.done();
    const ends = step.notes.map((n) => targets.get(n.string) ?? 0);
    const need = distanceBetween(fragment.ink, pen.ink, room, 2);
    const x = Math.min(-need, Math.min(...ends) - room);
    pen.place(fragment, x, 0);
    step.notes.forEach((n, i) => {
      const y = stringY(n.string);
      if (n.join === 'slide') {
        const lean = n.down ? -2.5 : 2.5;
        pen.sign('slide').line(x + 1.5, y + lean, ends[i]! - 1.5, y - lean, 1.2);
      } else if (n.join !== null) {
        joins.push({ attack: n.join, x: (x + ends[i]!) / 2, voice: item.voice });
        pen.sign('tab-slur').arc(x + 0.5, y - 4.3, ends[i]! - 0.5, y - 4.7, -1.5, 1.2);
      }
    });
    const lefts = fragment.ink.map((k) => k.x0 + x);
    targets = new Map(step.notes.map((n) => [n.string, Math.min(...lefts)]));
  }
  return joins;
}

/** Left edge of a fret with its brackets. */
function leftOnString(pen: Pen, f: FretPlace): number {
  const y = stringY(f.string);
  return Math.min(f.box.x0, ...pen.ink.filter((k) => k.y0 < y && k.y1 > y).map((k) => k.x0));
}

function joinToNote(item: ScoreItem, slideIn: boolean, string: number): Joined['join'] {
  if (slideIn) return 'slide';
  const note = item.event?.notes.find((n) => n.string === string);
  if (note === undefined || note.kind === 'dead') return null;
  switch (note.attack) {
    case 'hammer-on':
    case 'pull-off':
      return note.attack;
    case 'slide':
    case 'slide-plucked':
      return 'slide';
    default:
      return null;
  }
}

function drawSlidesIn(pen: Pen, item: ScoreItem): void {
  for (const n of item.event?.notes ?? []) {
    if (n.kind !== 'pitched' || n.slideIn?.kind !== 'indefinite') continue;
    const y = stringY(n.string);
    const lean = n.slideIn.from === 'below' ? 3.5 : -3.5;
    placeLeft(pen, { x0: 0, x1: 9, y0: y - 4, y1: y + 4 }, 1.5, (x) => {
      pen.sign('slide-in').line(x, y + lean, x + 9, y - lean, 1.2);
    });
  }
}

function drawSlidesOut(pen: Pen, item: ScoreItem): void {
  for (const n of item.event?.notes ?? []) {
    const away = n.kind === 'dead' ? n.scrape : n.slideOut;
    if (away === undefined) continue;
    const y = stringY(n.string);
    const lean = away === 'up' ? 3.5 : -3.5;
    placeRight(pen, { x0: 0, x1: 10, y0: y - 4, y1: y + 4 }, 1.5, (x) => {
      pen.sign('slide-out').line(x, y + lean, x + 10, y - lean, 1.2);
    });
  }
}

/** Muted strings struck on the way: small crosses one after the other. */
function drawRake(pen: Pen, item: ScoreItem): void {
  const rake = item.event?.rake;
  if (rake === undefined) return;
  const cross = new Pen();
  const m = measureText('×', 'text', 12);
  rake.forEach((string, i) => {
    const y = stringY(string);
    cross.sign('dead-string').text('×', i * 6, y - (m.y0 + m.y1) / 2, 'text', 12);
  });
  const f = cross.done();
  const need = distanceBetween(f.ink, pen.ink, 2.5, 40);
  pen.place(f, -need, 0);
}

/** An arrow along the strings that are swept; a down-strum goes from the lowest string to the first. */
function drawStrum(pen: Pen, item: ScoreItem): void {
  const strum = item.event?.strum;
  if (strum === undefined || item.event === null) return;
  const strings = item.event.notes.map((n) => n.string);
  const top = stringY(Math.min(...strings)) - 6;
  const bottom = stringY(Math.max(...strings)) + 6;
  placeLeft(pen, { x0: 0, x1: 6, y0: top, y1: bottom }, 3, (x) => {
    const up = strum === 'down';
    pen.sign('strum').line(x + 3, up ? bottom : top, x + 3, up ? top + 5 : bottom - 5, 1.3);
    pen.arrowhead(x + 3, up ? top : bottom, up ? 'up' : 'down', 7);
  });
}
