import type { Bend, PitchedNote } from '../../core/phrase/types';
import { measureText } from '../font/measure';
import { type Fragment, Pen } from '../ink/pen';
import { centredText } from '../signs/small';
import { drawBends } from '../tab/bends';
import { FRET_SIZE, STRING_SPACE } from '../tab/strings';

/** Small drawings for the legend: a piece of string with a number and a sign. */

const LENGTH = 54;
const LINE = 1;

/** One string of a tablature with what stands on it; holes are cut for the numbers. */
export function onString(draw: (pen: Pen) => void): Fragment {
  const pen = new Pen();
  draw(pen);
  const holes = pen.ink
    .filter((k) => k.kind === 'fret' || k.kind === 'grace-fret' || k.kind === 'changed')
    .map((k) => [k.x0 - 1.6, k.x1 + 1.6] as const)
    .sort((a, b) => a[0] - b[0]);
  const pieces: (readonly [number, number, number])[] = [];
  let x = 0;
  for (const [a, b] of holes) {
    if (a > x) pieces.push([x, a, 0]);
    x = Math.max(x, b);
  }
  if (x < LENGTH) pieces.push([x, LENGTH, 0]);
  pen.sign('tab-line', 'dw-line').rules(pieces, LINE);
  return pen.done();
}

/** A number with its middle at x. @returns its left and right edge. */
export function fret(
  pen: Pen,
  text: string,
  x: number,
  size = FRET_SIZE,
): readonly [number, number] {
  const m = measureText(text, 'text', size);
  const left = x - (m.x0 + m.x1) / 2;
  pen.sign(size === FRET_SIZE ? 'fret' : 'grace-fret');
  pen.text(text, left, -(m.y0 + m.y1) / 2, 'text', size);
  return [left + m.x0, left + m.x1];
}

/** Two numbers with what joins them. */
export function twoFrets(
  first: string,
  second: string,
  join: (pen: Pen, from: number, to: number) => void,
): Fragment {
  return onString((pen) => {
    const [, from] = fret(pen, first, 13);
    const [to] = fret(pen, second, 42);
    join(pen, from + 1, to - 1);
  });
}

const PITCH = { letter: 'D', alter: 0, octave: 4 } as const;
const TARGET = { letter: 'E', alter: 0, octave: 4 } as const;

/** A bend of a whole tone, or a curl, as the tablature draws it. */
export function bentFret(shape: Bend['shape']): Fragment {
  return onString((pen) => {
    const [x0, x1] = fret(pen, '7', 18);
    const bend: Bend =
      shape === 'curl' ? { shape, curve: [] } : { shape, target: TARGET, curve: [] };
    const note: PitchedNote = { kind: 'pitched', id: '', pitch: PITCH, string: 1, fret: 7, bend };
    const place = {
      note,
      head: 'normal',
      target: null,
      y: 0,
      held: false,
      tieY: 0,
      accidental: null,
      cautionary: false,
    } as const;
    drawBends(pen, [place], [{ id: '', string: 1, box: { x0, x1, y0: -4.6, y1: 4.6 } }]);
  });
}

/** A sign over a number. */
export function overFret(sign: Fragment, text = '7', x = 18): Fragment {
  return onString((pen) => {
    fret(pen, text, x);
    pen.place(sign, x, -STRING_SPACE * 0.62);
  });
}

/** An arc between two numbers, with its letter. */
export function slur(letter: string): () => Fragment {
  return () =>
    twoFrets('5', '7', (pen, from, to) => {
      pen.sign('tab-slur').arc(from, -4.5, to, -4.5, -3.5, 1.5);
      pen.place(centredText('letter', letter, 'text', 9.5), (from + to) / 2, -11);
    });
}

/** A line between two numbers, with an arc where the second is not plucked. */
export function slope(y0: number, y1: number, arc: boolean): () => Fragment {
  return () =>
    twoFrets('5', '7', (pen, from, to) => {
      pen.sign('slide').line(from + 1, y0, to - 1, y1, 1.2);
      if (arc) pen.sign('tab-slur').arc(from, -4.5, to, -4.5, -3.5, 1.5);
    });
}

/** A short line before a number. */
export function stroked(x0: number, y0: number, y1: number): Fragment {
  return onString((pen) => {
    fret(pen, '7', 27);
    pen.sign('slide-in').line(x0, y0, x0 + 10, y1, 1.2);
  });
}

/** A number between two signs. */
export function framed(left: string, right: string): Fragment {
  return onString((pen) => {
    const [x0, x1] = fret(pen, '12', 27);
    fret(pen, left, x0 - 4);
    fret(pen, right, x1 + 4);
  });
}

/** A small number that leads to a large one. */
export function graced(join: 'arc' | 'line'): Fragment {
  return onString((pen) => {
    const [, from] = fret(pen, '6', 15, 9.5);
    const [to] = fret(pen, '7', 32);
    if (join === 'line') pen.sign('slide').line(from + 1, 2.5, to - 1, -2.5, 1.2);
    else pen.sign('tab-slur').arc(from, -4, to, -5, -2.4, 1.4);
  });
}

/** The arrow of a strum beside its numbers. */
export function arrow(up: boolean): Fragment {
  const pen = new Pen();
  pen.sign('strum').line(20, up ? 12 : -12, 20, up ? -6 : 6, 1.3);
  pen.arrowhead(20, up ? -12 : 12, up ? 'up' : 'down', 7);
  for (const [i, y] of [-8, 0, 8].entries())
    pen.sign('fret').text(String(5 + (i % 2)), 26, y + 4, 'text', 11);
  return pen.done();
}

/** The small head at which a bend arrives on the staff. */
export function smallHead(): Fragment {
  const pen = new Pen();
  pen.sign('notehead').glyph('noteheadBlack', 4, 4);
  pen.sign('bend-angle').line(18, 3, 29, -3, 1);
  pen.arrowhead(31, -4, 'right', 5.5);
  pen.sign('target').glyph('noteheadBlack', 34, -5, 0.66);
  return pen.done();
}

/** A cross with the line of a pick scrape, and its letters over it. */
export function scraped(y0: number, y1: number): Fragment {
  return onString((pen) => {
    fret(pen, '×', 20);
    pen.sign('slide-out').line(27, y0, 45, y1, 1.2);
    pen.place(centredText('letter', 'P.S.', 'text', 10), 20, -9);
  });
}
