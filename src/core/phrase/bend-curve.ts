import type { Bend, BendPoint } from './types';

/** Where a shape is at its top, released and so on, before anybody moved its points. Ours. */
const CURVES: Readonly<Record<Bend['shape'], readonly BendPoint[]>> = {
  bend: [point(0, 0), point(50, 100), point(100, 100)],
  'bend-release': [point(0, 0), point(25, 100), point(50, 100), point(75, 0), point(100, 0)],
  'pre-bend': [point(0, 100), point(100, 100)],
  'pre-bend-release': [point(0, 100), point(50, 100), point(75, 0), point(100, 0)],
  curl: [point(0, 0), point(100, 100)],
};

function point(at: number, amount: number): BendPoint {
  return { at, amount };
}

/** The curve a bend of a shape has until it is drawn otherwise. */
export function curveOfShape(shape: Bend['shape']): readonly BendPoint[] {
  return CURVES[shape];
}
