import type { Degree, DegreeNumber } from '../../core/theory/degree';

/**
 * How degrees are told apart on the neck: by their text, by the outline of their tag and by a colour.
 * Outline and colour go by the degree's number; whether it is lowered or raised stands in the text.
 */
export interface DegreeSign {
  /** What the tag is filled with; null for ink, with the text in the paper's colour. */
  readonly fill: string | null;
  /** Colour of the text: at least 4.5:1 against the fill. */
  readonly text: string;
  /** Room between the text and the outermost points at the left and the right, in units. */
  readonly ends: readonly [left: number, right: number];
  /** Corners of the outline, from the left end over the top; a pill has none. */
  readonly outline: Outline;
}

/** The shape of a tag: names of our own. */
export type Outline = 'block' | 'ribbon' | 'lozenge' | 'foot' | 'pill' | 'bowl' | 'pennant';

/**
 * Colours: Okabe M. and Ito K., *Color Universal Design* (2008), the palette that readers with each
 * common colour deficiency can tell apart (values from memory); the root is ink. Yellow is left out,
 * since it is lost on paper.
 */
const SIGNS: Readonly<Record<DegreeNumber, DegreeSign>> = {
  1: { fill: null, text: '#fff', ends: [5, 5], outline: 'block' },
  2: { fill: '#e69f00', text: '#000', ends: [8, 8], outline: 'ribbon' },
  3: { fill: '#d55e00', text: '#000', ends: [9, 9], outline: 'lozenge' },
  4: { fill: '#56b4e9', text: '#000', ends: [7, 7], outline: 'foot' },
  5: { fill: '#0072b2', text: '#fff', ends: [7, 7], outline: 'pill' },
  6: { fill: '#009e73', text: '#000', ends: [7, 7], outline: 'bowl' },
  7: { fill: '#cc79a7', text: '#000', ends: [5, 10], outline: 'pennant' },
};

/** A place without a degree: a dead note, or a count of what has no room. */
const PLAIN: DegreeSign = { fill: 'none', text: 'currentColor', ends: [5, 5], outline: 'block' };

/** The shape in which a degree is shown, by its number, so that colour is never the only sign. */
export function signOf(d: Degree | null): DegreeSign {
  return d === null ? PLAIN : SIGNS[d.number];
}

/** The outline of a tag as an SVG path: between x0 and x1, around y, so high. */
export function outlinePath(o: Outline, x0: number, x1: number, y: number, height: number): string {
  const t = y - height / 2;
  const b = y + height / 2;
  const d = 5;
  switch (o) {
    case 'block':
      return path([x0, t], [x1, t], [x1, b], [x0, b]);
    case 'ribbon':
      return path([x0, t], [x1, t], [x1 - d, y], [x1, b], [x0, b], [x0 + d, y]);
    case 'lozenge':
      return path(
        [x0, y],
        [x0 + d + 1, t],
        [x1 - d - 1, t],
        [x1, y],
        [x1 - d - 1, b],
        [x0 + d + 1, b],
      );
    case 'foot':
      return path([x0 + d, t], [x1 - d, t], [x1, b], [x0, b]);
    case 'bowl':
      return path([x0, t], [x1, t], [x1 - d, b], [x0 + d, b]);
    case 'pennant':
      return path([x0, t], [x1 - d - 2, t], [x1, y], [x1 - d - 2, b], [x0, b]);
    case 'pill': {
      const r = Math.min(height / 2, (x1 - x0) / 2);
      const n = round;
      return `M${n(x0 + r)} ${n(t)}H${n(x1 - r)}A${n(r)} ${n(height / 2)} 0 0 1 ${n(x1 - r)} ${n(b)}H${n(x0 + r)}A${n(r)} ${n(height / 2)} 0 0 1 ${n(x0 + r)} ${n(t)}Z`;
    }
  }
}

function path(...points: readonly (readonly [number, number])[]): string {
  return `${points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${round(x)} ${round(y)}`).join('')}Z`;
}

function round(n: number): string {
  const r = Math.round(n * 100) / 100;
  return String(r === 0 ? 0 : r);
}
