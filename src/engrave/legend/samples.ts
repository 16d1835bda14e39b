import type { Bend, PitchedNote } from '../../core/phrase/types';
import { measureText } from '../font/measure';
import { type Fragment, Pen } from '../ink/pen';
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
