import { type Midi, midiOf, type Pitch } from '../theory/pitch';
import type { Instrument, PitchedNote, Place } from './types';

const pitch = (letter: Pitch['letter'], octave: number): Pitch => ({ letter, alter: 0, octave });

/** E2 A2 D3 G3 B3 E4, string 1 first (P4). */
export const STANDARD_TUNING: readonly Pitch[] = [
  pitch('E', 4),
  pitch('B', 3),
  pitch('G', 3),
  pitch('D', 3),
  pitch('A', 2),
  pitch('E', 2),
];

/** A common electric guitar: 22 frets, 648 mm (N1, common practice). */
export const STANDARD_GUITAR: Instrument = {
  name: 'Guitar',
  tuning: STANDARD_TUNING,
  frets: 22,
  scaleLength: 648,
  capo: 0,
  clef: 'treble-8',
};

/** Highest open pitch of a wound string, G3: sets are plain from there or from B3 up (common practice). */
const HIGHEST_WOUND = 55;

/** Whether a string is wound as far as its open pitch tells; string 1 is the first string. */
export function isWound(i: Instrument, string: number): boolean {
  const open = i.tuning[string - 1];
  return open !== undefined && midiOf(open) <= HIGHEST_WOUND;
}

/** Frets that can be used: counted from the capo (N2). */
export function playableFrets(i: Instrument): number {
  return i.frets - i.capo;
}

/**
 * Sounding MIDI number of a string at fret 0, capo included (N2).
 * @param string 1 = first string.
 * @throws RangeError when the tuning has no such string (programmer's error).
 */
export function openMidi(i: Instrument, string: number): Midi {
  const open = i.tuning[string - 1];
  if (open === undefined) throw new RangeError(`no string ${string} on ${i.name}`);
  return midiOf(open) + i.capo;
}

/** Sounding MIDI number of the lowest open string, capo included. */
export function lowestOpen(i: Instrument): Midi {
  return Math.min(...i.tuning.map((_, k) => openMidi(i, k + 1)));
}

/** Sounding MIDI number of a stopped place on the neck (N2). */
export function placeMidi(i: Instrument, place: Place): Midi {
  return openMidi(i, place.string) + place.fret;
}

/**
 * Fret that sounds `midi` on `string`, counted from the capo, or null when the string cannot.
 * @example fretFor(STANDARD_GUITAR, 1, 69) // 5
 */
export function fretFor(i: Instrument, string: number, midi: Midi): number | null {
  const fret = midi - openMidi(i, string);
  return fret >= 0 && fret <= playableFrets(i) ? fret : null;
}

/** Semitones of a natural harmonic over the open string by node fret (M11, common practice). */
export const HARMONIC_NODES: Readonly<Record<number, 12 | 19 | 24>> = {
  12: 12,
  7: 19,
  19: 19,
  5: 24,
  24: 24,
};

/** MIDI number that belongs to the place of a note: what its fret sounds, or its node. */
export function expectedMidi(i: Instrument, note: PitchedNote): Midi {
  if (note.harmonic?.kind === 'natural') return openMidi(i, note.string) + note.harmonic.above;
  return placeMidi(i, note);
}

/** Distance of a fret from the nut in millimetres (N1); `fret` counts from the capo. */
export function fretMillimetres(i: Instrument, fret: number): number {
  return i.scaleLength * (1 - 2 ** (-(fret + i.capo) / 12));
}

/** Distance between two frets in millimetres, both counted from the capo (N1, N2). */
export function reachMillimetres(i: Instrument, a: number, b: number): number {
  return Math.abs(fretMillimetres(i, a) - fretMillimetres(i, b));
}
