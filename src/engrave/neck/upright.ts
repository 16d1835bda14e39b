import type { NeckMark } from '../../core/neck/on-neck';
import type { Instrument, Place } from '../../core/phrase/types';
import { type Degree, degreeSign } from '../../core/theory/degree';
import { num } from '../ink/pen';
import { Canvas, type Label } from './canvas';
import { drawMark } from './tag';

/** A tone of a chord as the diagram needs it. */
export interface UprightTone extends Place {
  readonly degree: Degree;
  /** Fretting finger, 1 index to 4 little finger; written under its string. */
  readonly finger?: number;
}

export interface UprightView {
  readonly instrument: Instrument;
  readonly tones: readonly UprightTone[];
  /** The first string on the left, as a left-handed player sees it. */
  readonly leftHanded?: boolean;
}

export interface UprightPicture {
  readonly svg: string;
  readonly width: number;
  readonly height: number;
  /** Everything that is to be read, for tests. */
  readonly labels: readonly Label[];
}

/** Units between strings and between frets. */
const ACROSS = 32;
const DOWN = 30;
/** For the number of the first fret, for × and open strings, for the fingers. */
const SIDE = 34;
const HEAD = 24;
const FEET = 20;
const FRETS = 4;

/**
 * An upright chord diagram (*common practice*): strings from the lowest on the left, the nut on top or
 * the number of the first fret beside it, × over a string that is not played; an open one has its degree above the nut.
 */
export function drawUpright(view: UprightView): UprightPicture {
  const { instrument, tones } = view;
  const strings = instrument.tuning.length;
  const pressed = tones.map((t) => t.fret).filter((f) => f > 0);
  const hi = Math.max(FRETS, ...pressed);
  const lo = pressed.length === 0 ? 1 : Math.min(...pressed);
  const first = hi <= FRETS ? 1 : lo;
  const rows = Math.max(FRETS, Math.max(0, ...pressed) - first + 1);
  const width = SIDE + (strings - 1) * ACROSS + SIDE;
  const height = HEAD + rows * DOWN + FEET;
  const c = new Canvas();
  const x = (string: number) =>
    SIDE + (view.leftHanded === true ? string - 1 : strings - string) * ACROSS;
  const y = (fret: number) => HEAD + (fret - first + 0.5) * DOWN;
  const [left, right] = [SIDE, SIDE + (strings - 1) * ACROSS];
  for (let row = 0; row <= rows; row++) {
    const nut = row === 0 && first === 1;
    const at = HEAD + row * DOWN;
    c.line(left, at, right, at, nut ? 4.5 : 1, nut ? 1 : 0.5);
  }
  for (let string = 1; string <= strings; string++) {
    c.line(x(string), HEAD, x(string), HEAD + rows * DOWN, 0.9 + 0.15 * (string - 1), 0.6);
    if (tones.some((t) => t.string === string)) continue;
    c.text('string', '×', x(string), HEAD - 8, { size: 12, opacity: 0.8 });
  }
  if (first > 1) {
    c.text('fret', String(first), left - 18, y(first) + 4, { size: 11, anchor: 'end' });
  }
  for (const t of tones) {
    if (t.finger !== undefined) {
      c.text('hand', String(t.finger), x(t.string), height - 5, { size: 11, opacity: 0.8 });
    }
    drawMark(c, markOf(t), x(t.string), t.fret === 0 ? HEAD - 12.5 : y(t.fret));
  }
  const w = num(width);
  const h = num(height);
  const svg =
    `<svg xmlns="http://www.w3.org/2000/svg" width="${w}" height="${h}" viewBox="0 0 ${w} ${h}" ` +
    `fill="currentColor" font-family="'Degreewise Text',serif">${c.svg}</svg>`;
  return { svg, width, height, labels: c.labels };
}

function markOf({ string, fret, degree }: UprightTone): NeckMark {
  return { string, fret, labels: [{ text: degreeSign(degree), degree }], order: [], ids: [] };
}
