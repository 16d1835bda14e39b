import type { Bend, PitchedNote } from '../../core/phrase/types';
import { measureText } from '../font/measure';
import type { Box } from '../ink/box';
import type { Pen } from '../ink/pen';
import type { ScoreNote } from '../score/score';
import { bendName } from '../text/names';
import { type FretPlace, stringY } from './strings';

/** How far over the first string the lowest arrow ends, and how much higher each further one does. */
const FIRST_ARROW = 13;
const ARROW_STEP = 13;
const LABEL_SIZE = 10;
const FRACTION_SIZE = 13;
const STROKE = 1.1;
const ARROW = 7;
/** Size of the round corner where a curve turns upwards. */
const BOW = 9;

interface Bent {
  readonly note: PitchedNote;
  readonly bend: Bend;
  readonly fret: Box;
  readonly y: number;
  readonly label: string;
}

/**
 * The bends of one moment. Curves of several strings never cross: they are drawn from the first
 * string down, each further right and ending higher than the one before, so that a lower string's
 * curve passes outside all that is above it, whatever the widths.
 */
export function drawBends(
  pen: Pen,
  notes: readonly ScoreNote[],
  frets: readonly FretPlace[],
): void {
  const bent = notes
    .flatMap((n): Bent[] => {
      const fret = frets.find((f) => f.id === n.note.id);
      if (n.note.kind !== 'pitched' || n.note.bend === undefined || fret === undefined) return [];
      const y = stringY(n.note.string);
      return [{ note: n.note, bend: n.note.bend, fret: fret.box, y, label: bendName(n.note) }];
    })
    .sort((a, b) => a.note.string - b.note.string);
  if (bent.length === 0) return;
  // The curves rise to the right of whatever stands on the strings they pass.
  const lowest = bent.at(-1)!.y;
  const above = Math.max(...pen.ink.filter((k) => k.y0 < lowest - 6).map((k) => k.x1));
  let x = Math.max(...bent.map((b) => b.fret.x1)) + 1;
  bent.forEach((b, i) => {
    x = drawBend(pen, b, i, x, above + 3);
  });
}

/**
 * @param from Where it may begin at the earliest.
 * @param clear Where its upright lines are right of all numbers they pass.
 * @returns where the next bend may begin.
 */
function drawBend(pen: Pen, b: Bent, index: number, from: number, clear: number): number {
  const { shape } = b.bend;
  const label = drawWidth(b.label);
  const half = label.width / 2;
  const pre = shape === 'pre-bend' || shape === 'pre-bend-release';
  const release = shape === 'bend-release' || shape === 'pre-bend-release';
  const middle = (b.fret.x0 + b.fret.x1) / 2;
  // Straight up from its number, where no other number stands above.
  const straight =
    pre &&
    index === 0 &&
    !pen.ink.some((k) => k.y1 < b.fret.y0 && k.x1 > middle - 6 && k.x0 < middle + 6);
  const height = -FIRST_ARROW - index * ARROW_STEP;
  const top = Math.min(...pen.ink.filter((k) => onString(k, b.y)).map((k) => k.y0)) - 1.5;
  const tip = straight ? Math.min(height, top - 12) : height;
  const start = beside(pen, b, from);
  const x = straight ? middle : Math.max(start + BOW, from + half + 1, clear);
  const neck = tip + ARROW - 1;
  pen.sign('bend');
  if (straight) pen.line(x, top, x, neck, STROKE);
  else drawRise(pen, start, b.y, x, neck, pre ? 0 : BOW);
  pen.arrowhead(x, tip, 'up', ARROW);
  label.draw(pen, x - half, tip - 3);
  const right = x + Math.max(half, 3) + 2;
  if (!release) return right;
  const down = Math.max(x + 13, x + half + 5, start + 3, clear);
  drawFall(pen, x, tip + 1, down, b.y - 1);
  return Math.max(right, down + 4);
}

/** Along the string and up, round a corner of size `bow`; a pre-bend turns sharply. */
function drawRise(pen: Pen, x0: number, y: number, x1: number, top: number, bow: number): void {
  if (bow === 0) {
    pen.polyline(
      [
        { x: x0, y },
        { x: x1, y },
        { x: x1, y: top },
      ],
      STROKE,
    );
    return;
  }
  const turn = Math.min(bow, x1 - x0);
  if (x1 - x0 > turn + 0.5) pen.line(x0, y, x1 - turn, y, STROKE);
  const end = Math.max(top, y - 11);
  pen.curve({ x: x1 - turn, y }, { x: x1 - 1, y }, { x: x1, y: y - 3 }, { x: x1, y: end }, STROKE);
  if (end > top) pen.line(x1, end, x1, top, STROKE);
}

/** Over from the tip of an arrow and down to the string again. */
function drawFall(pen: Pen, x0: number, y: number, x1: number, landing: number): void {
  const shoulder = y + 12;
  pen.curve({ x: x0, y }, { x: x1 - 3, y }, { x: x1, y: y + 3 }, { x: x1, y: shoulder }, STROKE);
  const neck = landing - ARROW + 1;
  if (neck > shoulder) pen.line(x1, shoulder, x1, neck, STROKE);
  pen.arrowhead(x1, landing, 'down', ARROW);
}

/** A width in whole tones; a fraction is larger than other words, so that its figures can be read. */
function drawWidth(name: string) {
  const pieces = [...name.matchAll(/[¼½¾]|[^¼½¾]+/gu)].map(([text]) => {
    const size = /[¼½¾]/u.test(text) ? FRACTION_SIZE : LABEL_SIZE;
    return { text, size, advance: measureText(text, 'text', size).advance };
  });
  return {
    width: pieces.reduce((a, p) => a + p.advance, 0),
    draw: (pen: Pen, from: number, y: number): void => {
      let x = from;
      for (const p of pieces) {
        pen.text(p.text, x, y, 'text', p.size);
        x += p.advance;
      }
    },
  };
}

function onString(k: Box, y: number): boolean {
  return k.y0 < y && k.y1 > y;
}

/** Where the curve of a bend leaves its fret: right of the number and of what stands after it. */
function beside(pen: Pen, b: Bent, from: number): number {
  const here = pen.ink.filter(
    (k) => k.y0 < b.y + 2 && k.y1 > b.y - 2 && k.x1 >= b.fret.x1 && k.x0 < from + 40,
  );
  return Math.max(b.fret.x1, ...here.filter((k) => k.kind !== 'bend').map((k) => k.x1)) + 2;
}
