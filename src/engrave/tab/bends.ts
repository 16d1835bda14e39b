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
const STROKE = 1.1;

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

/** @returns where the next bend may begin. */
function drawBend(pen: Pen, b: Bent, index: number, from: number, clear: number): number {
  const { shape } = b.bend;
  const m = measureText(b.label, 'text', LABEL_SIZE);
  const half = m.advance / 2;
  const pre = shape === 'pre-bend' || shape === 'pre-bend-release';
  const release = shape === 'bend-release' || shape === 'pre-bend-release';
  const middle = (b.fret.x0 + b.fret.x1) / 2;
  // Straight up from its number, where no other number stands above.
  const straight =
    pre &&
    index === 0 &&
    !pen.ink.some((k) => k.y1 < b.fret.y0 && k.x1 > middle - 6 && k.x0 < middle + 6);
  const height = -FIRST_ARROW - index * ARROW_STEP;
  const tip = straight ? Math.min(height, b.fret.y0 - 15) : height;
  const start = beside(pen, b, from);
  const x1 = straight ? middle : Math.max(start + 9, from + half + 1, clear);
  pen.sign('bend');
  if (shape === 'curl') {
    // A quarter tone needs no target: a short hook with its sign, still outside the others.
    const top = index === 0 ? b.y - 9 : tip + 6;
    pen.curve(
      { x: start, y: b.y },
      { x: x1 - 1, y: b.y },
      { x: x1, y: b.y - 3 },
      { x: x1, y: Math.min(top, b.y - 7) },
      STROKE,
    );
    const end = Math.min(top, b.y - 7);
    if (end > tip + 6) pen.line(x1, end, x1, tip + 6, STROKE);
    pen.arrowhead(x1, tip, 'up', 7);
    pen.text(b.label, x1 - half, tip - 3, 'text', LABEL_SIZE);
    return x1 + half + 2;
  }
  if (straight) {
    pen.line(x1, b.fret.y0 - 1.5, x1, tip + 6, STROKE);
  } else if (pre) {
    pen.polyline(
      [
        { x: start, y: b.y },
        { x: x1, y: b.y },
        { x: x1, y: tip + 6 },
      ],
      STROKE,
    );
  } else {
    const bow = Math.min(14, b.y - tip - 8);
    pen.curve(
      { x: start, y: b.y },
      { x: x1 - 1, y: b.y },
      { x: x1, y: b.y - 3 },
      { x: x1, y: b.y - bow },
      STROKE,
    );
    if (b.y - bow > tip + 6) pen.line(x1, b.y - bow, x1, tip + 6, STROKE);
  }
  pen.arrowhead(x1, tip, 'up', 7);
  pen.text(b.label, x1 - half, tip - 3, 'text', LABEL_SIZE);
  if (!release) return x1 + Math.max(half, 3) + 2;
  // Over from the tip and down to the string again.
  const x2 = Math.max(x1 + 13, x1 + half + 5, start + 3);
  const landing = b.y - 1;
  pen.curve(
    { x: x1, y: tip + 1 },
    { x: x2 - 3, y: tip + 1 },
    { x: x2, y: tip + 4 },
    { x: x2, y: tip + 13 },
    STROKE,
  );
  if (landing - 6 > tip + 13) pen.line(x2, tip + 13, x2, landing - 6, STROKE);
  pen.arrowhead(x2, landing, 'down', 7);
  return x2 + 4;
}

/** Where the curve of a bend leaves its fret: right of the number and of what stands after it. */
function beside(pen: Pen, b: Bent, from: number): number {
  const here = pen.ink.filter(
    (k) => k.y0 < b.y + 2 && k.y1 > b.y - 2 && k.x0 >= b.fret.x0 && k.x0 < from + 40,
  );
  return Math.max(b.fret.x1, ...here.filter((k) => k.kind !== 'bend').map((k) => k.x1)) + 2;
}
