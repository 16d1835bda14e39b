import type { Midi } from '../theory/pitch';
import { isStep, leapOver } from './join';
import type { Sketch } from './sketch';
import { JOIN_WEIGHTS } from './weights';

/** On which side of a phrase a note stands. */
export type Side = 'before' | 'after';

/** The note of a phrase, moved by semitones, that stands next to what is on that side. */
export function edgeOf({ midi }: Sketch, side: Side, semitones: number): Midi {
  return midi[side === 'before' ? 0 : midi.length - 1]! + semitones;
}

/** The most that a single note can give a join. */
export const MOST_OF_NOTE = JOIN_WEIGHTS.near;

/**
 * How well a phrase joins a single note before or behind it: what a note tells of a join is how far it is, whether
 * that is a step, and in which register, which count as they do between phrases.
 * @param semitones How far the phrase is moved, all of it.
 */
export function joinNote(phrase: Sketch, side: Side, note: Midi, semitones = 0): number {
  const far = edgeOf(phrase, side, semitones) - note;
  const mean = (side === 'before' ? phrase.head : phrase.tail) + semitones;
  const { leap, near, register } = JOIN_WEIGHTS;
  return leap * leapOver(far) + near * isStep(far) + (register * Math.abs(mean - note)) / 12;
}
