import type { Result } from '../result';
import { fail, ok } from '../result';

export const LETTERS = ['C', 'D', 'E', 'F', 'G', 'A', 'B'] as const;
export type Letter = (typeof LETTERS)[number];

/** Chromatic alteration of a letter in semitones; −2 double flat to +2 double sharp. */
export type Alter = -2 | -1 | 0 | 1 | 2;

/** A letter with its alteration, in no particular octave: the root of a chord, a tonic. */
export interface PitchClass {
  readonly letter: Letter;
  readonly alter: Alter;
}

/**
 * A spelled pitch (rule P1). Scientific octave numbers: C4 is middle C, MIDI 60.
 * In the core this is always the *sounding* pitch (P3).
 */
export interface Pitch extends PitchClass {
  readonly octave: number;
}

/** MIDI key number, 60 = C4. */
export type Midi = number;

const NATURAL_SEMITONES: Record<Letter, number> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const LETTER_INDEX: Record<Letter, number> = { C: 0, D: 1, E: 2, F: 3, G: 4, A: 5, B: 6 };

/** Place of the letter in the octave, C = 0 to B = 6. */
export function letterIndex(letter: Letter): number {
  return LETTER_INDEX[letter];
}

/** MIDI number of a spelled pitch (P1): C4 = 60, B♯3 = 60, C♭4 = 59. */
export function midiOf(p: Pitch): Midi {
  return 12 * (p.octave + 1) + NATURAL_SEMITONES[p.letter] + p.alter;
}

/** Pitch class number 0 to 11, C = 0. */
export function chromaOf(p: PitchClass): number {
  return mod(NATURAL_SEMITONES[p.letter] + p.alter, 12);
}

/** Semitones above the C below it, not folded: C♭ is −1. */
export function aboveC(p: PitchClass): number {
  return NATURAL_SEMITONES[p.letter] + p.alter;
}

/** Number of the staff step: octave × 7 + letter, so that one line or space up is +1. */
export function staffStep(p: Pitch): number {
  return p.octave * 7 + letterIndex(p.letter);
}

/** Equal temperament at A4 = 440 Hz (ISO 16), in hertz (P1). */
export function frequencyOf(midi: Midi): number {
  return 440 * 2 ** ((midi - 69) / 12);
}

/** The pitch on the staff step that sounds `midi`, or null when it would need more than a double accidental. */
export function pitchAt(step: number, midi: Midi): Pitch | null {
  const letter = LETTERS[mod(step, 7)]!;
  const octave = Math.floor(step / 7);
  const alter = midi - midiOf({ letter, alter: 0, octave });
  return isAlter(alter) ? { letter, alter, octave } : null;
}

/** Whether a number is an alteration that can be written: −2, a double flat, to 2 (P5). */
export function isAlter(n: number): n is Alter {
  return Number.isInteger(n) && n >= -2 && n <= 2;
}

/** Whether two pitches are spelled the same, octave included; C♯4 and D♭4 are not. */
export function samePitch(a: Pitch, b: Pitch): boolean {
  return a.letter === b.letter && a.alter === b.alter && a.octave === b.octave;
}

/** Whether two names without octave are spelled the same. */
export function samePitchClass(a: PitchClass, b: PitchClass): boolean {
  return a.letter === b.letter && a.alter === b.alter;
}

const SHARP_NAMES = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'] as const;
const FLAT_NAMES = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'] as const;

/**
 * A plain name for a bare MIDI number, for input that carries no spelling (P6: nothing inside the
 * core may guess a spelling back from a number).
 */
export function pitchOfMidi(midi: Midi, side: 'sharp' | 'flat'): Pitch {
  const name = (side === 'sharp' ? SHARP_NAMES : FLAT_NAMES)[mod(midi, 12)]!;
  const pc = parsePitchClass(name)!;
  return { ...pc, octave: Math.floor(midi / 12) - 1 };
}

const ALTER_TEXT: Record<Alter, string> = { [-2]: 'bb', [-1]: 'b', 0: '', 1: '#', 2: '##' };
const ALTER_SIGN: Record<Alter, string> = { [-2]: '𝄫', [-1]: '♭', 0: '', 1: '♯', 2: '𝄪' };

/** ASCII accidental: `bb b # ##`, empty for a natural. */
export function alterText(alter: Alter): string {
  return ALTER_TEXT[alter];
}

/** Typeset accidental: 𝄫 ♭ ♯ 𝄪, empty for a natural. */
export function alterSign(alter: Alter): string {
  return ALTER_SIGN[alter];
}

/** The note typeset, without octave: `F♯`, `B♭`. */
export function pitchClassSign(p: PitchClass): string {
  return p.letter + alterSign(p.alter);
}

/** ASCII name without octave: `F#`, `Bb`. */
export function formatPitchClass(p: PitchClass): string {
  return p.letter + ALTER_TEXT[p.alter];
}

/** ASCII name with octave: `F#4`, `Cb5`. */
export function formatPitch(p: Pitch): string {
  return formatPitchClass(p) + p.octave;
}

/** Reads `F#`, `Bb`, `F♯`, `B𝄫`, `Cx`; the letter in either case. Null when it is not a note name. */
export function parsePitchClass(text: string): PitchClass | null {
  const m = /^([A-Ga-g])(𝄫|𝄪|♭♭|♯♯|bb|##|x|♭|♯|♮|b|#)?$/u.exec(text);
  const alter = m === null ? null : parseAlter(m[2] ?? '');
  if (m === null || alter === null) return null;
  return { letter: m[1]!.toUpperCase() as Letter, alter };
}

/** Reads an accidental in ASCII or as a sign; empty is a natural. Null when it is none. */
export function parseAlter(sign: string): Alter | null {
  switch (sign) {
    case '':
    case '♮':
      return 0;
    case 'b':
    case '♭':
      return -1;
    case 'bb':
    case '♭♭':
    case '𝄫':
      return -2;
    case '#':
    case '♯':
      return 1;
    case '##':
    case '♯♯':
    case '𝄪':
    case 'x':
      return 2;
    default:
      return null;
  }
}

/** Reads `F#4`, `Bb3`, `C-1`. */
export function parsePitch(text: string): Result<Pitch> {
  const m = /^(.*?)(-?\d{1,2})$/u.exec(text.trim());
  const pc = m === null ? null : parsePitchClass(m[1]!);
  if (m === null || pc === null) {
    return fail({
      message: `'${text}' is not a pitch`,
      fix: 'Write letter, accidental and octave, for example F#4 or Bb3.',
    });
  }
  return ok({ ...pc, octave: Number(m[2]) });
}

/** The remainder that is never negative. */
export function mod(n: number, m: number): number {
  return ((n % m) + m) % m;
}
