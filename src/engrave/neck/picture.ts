import { barsText, type HandInBars, type ShapeSpan } from '../../core/neck/hand-bars';
import { keyOf, type NeckMark, type OnNeck } from '../../core/neck/on-neck';
import type { Instrument, Place } from '../../core/phrase/types';
import { pitchClassSign } from '../../core/theory/pitch';
import type { Box } from '../ink/box';
import { num } from '../ink/pen';
import { drawArrow, type HalfWidth } from './arrows';
import { Canvas, type Label, textWidth } from './canvas';
import { fretsFor, type NeckPlan, planNeck, ROW } from './plan';
import { drawMark, TAG_HEIGHT, tagsWidth } from './tag';

/** What a picture of a neck shows. */
export interface NeckView {
  readonly instrument: Instrument;
  readonly content: OnNeck;
  /** First and last fret; what the content needs when absent. */
  readonly frets?: readonly [number, number];
  /** The nut on the right, as a left-handed player sees it. */
  readonly leftHanded?: boolean;
  /** Frets no wider than their labels ask for, where the page is narrow. */
  readonly narrow?: boolean;
  /** A line over the neck: a chord, a scale. */
  readonly title?: string;
  /** The way from note to note. */
  readonly way?: boolean;
  /** Where the hand lies in which bars, under the neck. */
  readonly hand?: readonly HandInBars[];
  /** The fewest frets that hold all of it, framed. */
  readonly shape?: ShapeSpan | null;
  /** What was here before, in outline, and arrows from there. */
  readonly before?: {
    readonly content: OnNeck;
    readonly arrows: readonly (readonly [from: Place, to: Place])[];
  };
}

export interface NeckPicture {
  /** A whole `<svg>`; with the colours of the page it stands in (`currentColor`). */
  readonly svg: string;
  readonly width: number;
  readonly height: number;
  /** Where each mark stands. */
  readonly marks: readonly { readonly mark: NeckMark; readonly box: Box }[];
  readonly plan: NeckPlan;
  /** y of the first string. */
  readonly top: number;
  /** Everything that is to be read, for tests. */
  readonly labels: readonly Label[];
}

const TITLE = 22;
/** Over the first string: for the order of its notes. */
const HEAD = 28;
/** Below the last string: for the numbers of the frets. */
const FEET = 30;
const STRIP = 17;
/** More moments make a tangle of the way; their numbers stay. */
const MOST_ON_WAY = 32;

/**
 * Draws a neck to the proportions of the instrument: the same bytes everywhere. String 1 is on top,
 * as in tablature; frets are counted from the capo (N2).
 */
export function drawNeck(view: NeckView): NeckPicture {
  const { instrument, content } = view;
  const was = view.before?.content ?? { marks: [], moments: [] };
  const frets = view.frets ?? fretsFor(instrument, [...content.marks, ...was.marks]);
  const plan = planNeck(instrument, [content, was], frets, view.leftHanded === true, view.narrow);
  const c = new Canvas();
  const top = HEAD + (view.title === undefined ? 0 : TITLE);
  const y = (string: number) => top + plan.y(string);
  const bottom = y(plan.strings);
  if (view.title !== undefined) {
    c.text('title', view.title, plan.mirrored ? plan.width - 2 : 2, 16, {
      face: 'bold',
      size: 15,
      anchor: plan.mirrored ? 'end' : 'start',
    });
  }
  if (view.shape) drawShape(c, plan, view.shape, top, bottom);
  drawBoard(c, plan, instrument, top, bottom, inlaysFree(content, y));
  const inside = (p: Place) => p.fret >= plan.frets[0] && p.fret <= plan.frets[1];
  drawTogether(c, plan, content, y, inside);
  if (view.way === true && content.moments.length <= MOST_ON_WAY) {
    drawWay(c, plan, content, y, inside);
  }
  const marks = content.marks.filter(inside);
  const taken = new Set(marks.map(keyOf));
  const half = halfWidths([...was.marks, ...marks]);
  for (const [from, to] of view.before?.arrows ?? []) {
    if (inside(from) && inside(to)) drawArrow(c, plan, from, to, y, half);
  }
  for (const m of was.marks.filter(inside)) {
    if (!taken.has(keyOf(m))) drawMark(c, m, plan.middle(m.fret), y(m.string), true);
  }
  const placed = marks.map((mark) => ({
    mark,
    box: drawMark(c, mark, plan.middle(mark.fret), y(mark.string)),
  }));
  let height = bottom + FEET;
  const strips = [
    ...(view.shape ? [shapeStrip(view.shape)] : []),
    ...(view.hand ?? []).map(handStrip),
  ];
  for (const s of strips) height += drawStrip(c, plan, s, height + 4);
  if (strips.length > 0) height += 4;
  const w = num(plan.width);
  const h = num(height);
  const svg =
    `<svg xmlns="http://www.w3.org/2000/svg" width="${w}" height="${h}" viewBox="0 0 ${w} ${h}" ` +
    `fill="currentColor" font-family="'Degreewise Text',serif">${c.svg}</svg>`;
  return { svg, width: plan.width, height, marks: placed, plan, top, labels: c.labels };
}

/** What is drawn last at a place is what stands there. */
function halfWidths(marks: readonly NeckMark[]): HalfWidth {
  const widths = new Map(marks.map((m) => [keyOf(m), tagsWidth(m) / 2]));
  return (at) => widths.get(keyOf(at)) ?? 0;
}

/** Strings, wires, nut or capo, inlays and numbers. */
function drawBoard(
  c: Canvas,
  plan: NeckPlan,
  i: Instrument,
  top: number,
  bottom: number,
  isFree: (fret: number, y: number) => boolean,
): void {
  const [from, to] = plan.frets;
  for (let fret = Math.max(1, from); fret <= to; fret++) {
    const many = inlaysAt(fret + i.capo);
    const x = plan.middle(fret);
    const centre = (top + bottom) / 2;
    const apart = plan.strings % 2 === 0 ? ROW : ROW / 2;
    const at = many === 2 ? [centre - apart, centre + apart] : many === 1 ? [centre] : [];
    for (const y of at.filter((inlay) => isFree(fret, inlay))) {
      c.raw(`<path d="M${num(x - 5)} ${num(y)}l5 -7l5 7l-5 7z" fill-opacity="0.16"/>`);
    }
  }
  for (let fret = Math.max(0, from - 1); fret <= to; fret++) {
    const x = plan.wire(fret);
    const nut = fret === 0;
    if (nut && i.capo > 0) {
      c.raw(
        `<rect x="${num(x - 5)}" y="${num(top - 7)}" width="10" height="${num(bottom - top + 14)}" rx="5" fill-opacity="0.8"/>`,
      );
    } else c.line(x, top, x, bottom, nut ? 5 : 1.1, nut ? 1 : 0.5);
  }
  const end = plan.mirrored ? 0 : plan.width;
  const start = plan.wire(Math.max(0, from - 1));
  for (let string = 1; string <= plan.strings; string++) {
    const y = top + plan.y(string);
    c.line(start, y, end, y, 0.8 + 0.25 * (string - 1), 0.6);
    const open = i.tuning[string - 1]!;
    c.text('string', pitchClassSign(open), plan.mirrored ? plan.width - 11 : 11, y + 4, {
      size: 11,
      opacity: 0.8,
    });
  }
  const feet = bottom + TAG_HEIGHT / 2 + 14;
  if (from === 0) {
    c.text('fret', i.capo > 0 ? `capo ${i.capo}` : 'open', plan.middle(0), feet, {
      size: 10,
      opacity: 0.8,
    });
  }
  for (let fret = Math.max(1, from); fret <= to; fret++) {
    c.text('fret', String(fret), plan.middle(fret), feet, { size: 10.5, opacity: 0.8 });
  }
}

/** An inlay is left out where the order of a note stands: just above the tag on the string below it. */
function inlaysFree(
  { marks }: OnNeck,
  y: (string: number) => number,
): (fret: number, inlay: number) => boolean {
  return (fret, inlay) =>
    marks.every(
      (m) =>
        m.fret !== fret ||
        m.order.length === 0 ||
        Math.abs(y(m.string) - ROW / 2 - inlay) > ROW / 4,
    );
}

/** Marks on most necks, counted from the nut: one or two (common practice). */
function inlaysAt(fretFromNut: number): 0 | 1 | 2 {
  const inOctave = fretFromNut % 12;
  if (inOctave === 0) return 2;
  return [3, 5, 7, 9].includes(inOctave) ? 1 : 0;
}

/** Places struck at one moment are joined. */
function drawTogether(
  c: Canvas,
  plan: NeckPlan,
  { moments }: OnNeck,
  y: (string: number) => number,
  inside: (p: Place) => boolean,
): void {
  const done = new Set<string>();
  for (const moment of moments) {
    const shown = moment.filter(inside);
    shown.slice(1).forEach((p, i) => {
      const q = shown[i]!;
      const key = `${keyOf(q)} ${keyOf(p)}`;
      if (done.has(key)) return;
      done.add(key);
      c.line(plan.middle(q.fret), y(q.string), plan.middle(p.fret), y(p.string), 5, 0.22);
    });
  }
}

/** From moment to moment, bowed, so that there and back are two lines. */
function drawWay(
  c: Canvas,
  plan: NeckPlan,
  { moments }: OnNeck,
  y: (string: number) => number,
  inside: (p: Place) => boolean,
): void {
  const done = new Set<string>();
  moments.slice(1).forEach((moment, i) => {
    const a = moments[i]![0]!;
    const b = moment[0]!;
    const key = `${keyOf(a)} ${keyOf(b)}`;
    if (keyOf(a) === keyOf(b) || done.has(key) || !inside(a) || !inside(b)) return;
    done.add(key);
    c.stroke(bow(plan, a, b, y, 0.1), 1.2, 0.55);
  });
}

function bow(plan: NeckPlan, a: Place, b: Place, y: (s: number) => number, by: number): string {
  const [x0, y0] = [plan.middle(a.fret), y(a.string)];
  const [x1, y1] = [plan.middle(b.fret), y(b.string)];
  const mx = (x0 + x1) / 2 + (y1 - y0) * by;
  const my = (y0 + y1) / 2 - (x1 - x0) * by;
  return `M${num(x0)} ${num(y0)}Q${num(mx)} ${num(my)} ${num(x1)} ${num(y1)}`;
}

function drawShape(c: Canvas, plan: NeckPlan, s: ShapeSpan, top: number, bottom: number): void {
  const a = plan.wire(s.from - 1);
  const b = plan.wire(s.to);
  const x = Math.min(a, b);
  c.raw(
    `<rect x="${num(x)}" y="${num(top - 13)}" width="${num(Math.abs(b - a))}" height="${num(bottom - top + 26)}" rx="4" fill-opacity="0.07"/>`,
  );
}

/** A stretch of frets with what it is. */
interface Strip {
  readonly from: number;
  readonly to: number;
  readonly words: string;
  readonly fewer: string;
}

function handStrip({ fret, bars }: HandInBars): Strip {
  return {
    from: fret,
    to: fret + 3,
    words: `hand, ${barsText(bars)}`,
    fewer: `hand, ${bars.length} bars`,
  };
}

function shapeStrip({ from, to, mm }: ShapeSpan): Strip {
  const frets = to - from + 1;
  const words = frets === 1 ? 'one fret' : `${frets} frets, ${mm} mm`;
  return { from, to, words, fewer: frets === 1 ? 'one fret' : `${frets} frets` };
}

/**
 * A bracket under the frets with its words beside it, or below where there is no room.
 * @returns the height it takes.
 */
function drawStrip(c: Canvas, plan: NeckPlan, s: Strip, y: number): number {
  const [first, last] = plan.frets;
  const a = plan.wire(Math.max(first, Math.min(s.from, last)) - 1);
  const b = plan.wire(Math.max(first, Math.min(s.to, last)));
  const [x0, x1] = [Math.min(a, b) + 2, Math.max(a, b) - 2];
  c.stroke(`M${num(x0)} ${num(y)}v6H${num(x1)}v-6`, 1.3);
  const size = 10.5;
  for (const words of [s.words, s.fewer]) {
    const wide = textWidth(words, 'text', size) + 6;
    if (x1 + wide <= plan.width) {
      c.text('hand', words, x1 + 6, y + 8, { size, anchor: 'start' });
      return STRIP;
    }
    if (x0 - wide >= 0) {
      c.text('hand', words, x0 - 6, y + 8, { size, anchor: 'end' });
      return STRIP;
    }
  }
  c.text('hand', s.fewer, (x0 + x1) / 2, y + 18, { size });
  return STRIP + 12;
}
