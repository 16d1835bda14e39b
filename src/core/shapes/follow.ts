import type { Instrument } from '../phrase/types';
import type { Chord } from '../theory/chord';
import { findShapes, type ShapeOptions } from './find';
import type { ChordShape } from './types';

/** The shapes of one chord of a lane. */
export interface ShapesOver {
  readonly chord: Chord;
  readonly shapes: readonly ChordShape[];
}

/** The same set of shapes over several chords in one area: what the hand finds there for each of them. */
export function shapesOver(
  instrument: Instrument,
  chords: readonly Chord[],
  options: ShapeOptions,
): readonly ShapesOver[] {
  return chords.map((chord) => ({ chord, shapes: findShapes(instrument, chord, options) }));
}

/**
 * The shape of another chord that lies nearest: of the same kind on the same strings, with the least
 * motion of the fingers in frets; of equal ones the one with the same degree lowest, then the lower.
 * Null where those strings hold none.
 */
export function followShape(
  instrument: Instrument,
  from: ChordShape,
  chord: Chord,
): ChordShape | null {
  const strings = from.tones.map((t) => t.string);
  const near = (s: ChordShape) =>
    s.tones.reduce((sum, t, k) => sum + Math.abs(t.fret - from.tones[k]!.fret), 0);
  const turned = (s: ChordShape) => (s.lowest.number === from.lowest.number ? 0 : 1);
  const all = findShapes(instrument, chord, { kinds: [from.kind], strings });
  return (
    [...all].sort((a, b) => near(a) - near(b) || turned(a) - turned(b) || a.fret - b.fret)[0] ??
    null
  );
}
