import { type Degree, degree, sameDegree } from '../theory/degree';
import type { ShapeNeighbour, ShapeTone } from './types';

/** What lies next to a tone and is played around it, in semitones (*common practice* of blues and country). */
const NEXT: readonly { readonly of: Degree; readonly degree: Degree; readonly by: number }[] = [
  { of: degree(5), degree: degree(6), by: 2 },
  { of: degree(5), degree: degree(7, -1), by: 3 },
  { of: degree(3), degree: degree(3, -1), by: -1 },
];

/** The neighbours of a shape's tones on their strings, whether or not a hand reaches them. */
export function neighboursOf(tones: readonly ShapeTone[]): readonly ShapeNeighbour[] {
  return tones.flatMap((t) =>
    NEXT.filter((n) => sameDegree(n.of, t.degree)).map((n) => ({
      string: t.string,
      fret: t.fret + n.by,
      degree: n.degree,
      of: n.of,
    })),
  );
}
