import type { Place } from '../phrase/types';
import type { Degree } from '../theory/degree';
import type { Midi } from '../theory/pitch';

/**
 * `triad`: root, third and fifth; `shell`: root, third and seventh (or sixth) with the root lowest;
 * `four-note`: four strings; `double stop`: two tones on neighbouring strings or across one.
 */
export type ShapeKind = 'double stop' | 'triad' | 'shell' | 'four-note';

export const SHAPE_KINDS: readonly ShapeKind[] = ['double stop', 'triad', 'shell', 'four-note'];

/** One tone of a shape: what it is, and where. Frets count from the capo (N2). */
export interface ShapeTone extends Place {
  readonly degree: Degree;
  /** Sounding. */
  readonly midi: Midi;
}

/** A tone next to one of a shape, on the same string, while the others are held. */
export interface ShapeNeighbour extends Place {
  readonly degree: Degree;
  /** The degree of the shape that it is next to. */
  readonly of: Degree;
}

/** A way to lay tones of a chord under one hand. */
export interface ChordShape {
  readonly kind: ShapeKind;
  /** By string, string 1 first. */
  readonly tones: readonly ShapeTone[];
  /** Degree of the tone that sounds lowest. */
  readonly lowest: Degree;
  /** In the trade's words: `first inversion`, `drop 2, R lowest`, `minor third`. */
  readonly name: string;
  /** Lowest fret pressed; 0 where all strings are open. */
  readonly fret: number;
  /** From the lowest to the highest fret pressed, in millimetres (N1). */
  readonly mm: number;
  /** Whether all of it can be slid into from a semitone below (N3). */
  readonly slideIn: boolean;
  /** 6 and ♭7 above the 5, ♭3 below the 3, where a hand can reach them. */
  readonly neighbours: readonly ShapeNeighbour[];
}
