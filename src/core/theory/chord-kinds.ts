import type { Alter } from './pitch';

/**
 * Quality of a chord before added, altered and subtracted degrees. The names are the kind-value
 * names of MusicXML 4.0; `7alt` is our own, since MusicXML has no name for the altered dominant.
 */
export type ChordKind =
  | 'major'
  | 'minor'
  | 'augmented'
  | 'diminished'
  | 'dominant'
  | 'major-seventh'
  | 'minor-seventh'
  | 'diminished-seventh'
  | 'augmented-seventh'
  | 'half-diminished'
  | 'major-minor'
  | 'major-sixth'
  | 'minor-sixth'
  | 'dominant-ninth'
  | 'major-ninth'
  | 'minor-ninth'
  | 'dominant-11th'
  | 'major-11th'
  | 'minor-11th'
  | 'dominant-13th'
  | 'major-13th'
  | 'minor-13th'
  | 'suspended-second'
  | 'suspended-fourth'
  | 'power'
  | '7alt';

/** Number of a chord tone as symbols count them: 9, 11, 13 are kept apart from 2, 4, 6. */
export type ToneValue = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 9 | 11 | 13;

export const TONE_VALUES: readonly ToneValue[] = [1, 2, 3, 4, 5, 6, 7, 9, 11, 13];

/** One tone of a chord over its root; `alter` counts from the major scale (so ♭7 is 7, −1). */
export interface ChordTone {
  readonly value: ToneValue;
  readonly alter: Alter;
}

/** A tone of a chord by its number over the root, such as `tone(9, -1)` for ♭9. */
export function tone(value: ToneValue, alter: Alter = 0): ChordTone {
  return { value, alter };
}

/** Whether two tones have the same number and alteration; 2 and 9 are two. */
export function sameTone(a: ChordTone, b: ChordTone): boolean {
  return a.value === b.value && a.alter === b.alter;
}

/** Ascending by number, then by alteration. */
export function compareTones(a: ChordTone, b: ChordTone): number {
  return a.value - b.value || a.alter - b.alter;
}

const FLAT: Readonly<Record<string, Alter>> = { '': 0, b: -1, bb: -2, '#': 1, '##': 2 };

/** Reads a row of the table below; a mistake there is a programmer's error. */
function tones(row: string): readonly ChordTone[] {
  return row.split(' ').map((name) => {
    const m = /^([b#]*)(\d+)$/.exec(name);
    const alter = m === null ? undefined : FLAT[m[1]!];
    const value = m === null ? undefined : TONE_VALUES.find((v) => v === Number(m[2]));
    if (alter === undefined || value === undefined) throw new RangeError(`bad tone ${name}`);
    return { value, alter };
  });
}

/**
 * The tones of every kind.
 *
 * Source of every row but the last: W3C MusicXML 4.0, data type `kind-value`, whose wording builds
 * the extended chords up ("13th: dominant-11th, major 13th"), so an 11 holds its third and a 13 its
 * eleventh.
 * Source of `7alt`: the altered scale (seventh mode of melodic minor), common practice: root, third
 * and minor seventh with both altered ninths and both altered fifths, the raised one written ♭13.
 */
export const KIND_TONES: Readonly<Record<ChordKind, readonly ChordTone[]>> = {
  // Triad: major third, perfect fifth.
  major: tones('1 3 5'),
  // Triad: minor third, perfect fifth.
  minor: tones('1 b3 5'),
  // Triad: major third, augmented fifth.
  augmented: tones('1 3 #5'),
  // Triad: minor third, diminished fifth.
  diminished: tones('1 b3 b5'),
  // Seventh: major triad, minor seventh.
  dominant: tones('1 3 5 b7'),
  // Seventh: major triad, major seventh.
  'major-seventh': tones('1 3 5 7'),
  // Seventh: minor triad, minor seventh.
  'minor-seventh': tones('1 b3 5 b7'),
  // Seventh: diminished triad, diminished seventh.
  'diminished-seventh': tones('1 b3 b5 bb7'),
  // Seventh: augmented triad, minor seventh.
  'augmented-seventh': tones('1 3 #5 b7'),
  // Seventh: diminished triad, minor seventh.
  'half-diminished': tones('1 b3 b5 b7'),
  // Seventh: minor triad, major seventh.
  'major-minor': tones('1 b3 5 7'),
  // Sixth: major triad, added sixth.
  'major-sixth': tones('1 3 5 6'),
  // Sixth: minor triad, added sixth.
  'minor-sixth': tones('1 b3 5 6'),
  // Ninth: dominant, major ninth.
  'dominant-ninth': tones('1 3 5 b7 9'),
  // Ninth: major-seventh, major ninth.
  'major-ninth': tones('1 3 5 7 9'),
  // Ninth: minor-seventh, major ninth.
  'minor-ninth': tones('1 b3 5 b7 9'),
  // 11th: dominant-ninth, perfect 11th.
  'dominant-11th': tones('1 3 5 b7 9 11'),
  // 11th: major-ninth, perfect 11th.
  'major-11th': tones('1 3 5 7 9 11'),
  // 11th: minor-ninth, perfect 11th.
  'minor-11th': tones('1 b3 5 b7 9 11'),
  // 13th: dominant-11th, major 13th.
  'dominant-13th': tones('1 3 5 b7 9 11 13'),
  // 13th: major-11th, major 13th.
  'major-13th': tones('1 3 5 7 9 11 13'),
  // 13th: minor-11th, major 13th.
  'minor-13th': tones('1 b3 5 b7 9 11 13'),
  // Suspended: major second, perfect fifth.
  'suspended-second': tones('1 2 5'),
  // Suspended: perfect fourth, perfect fifth.
  'suspended-fourth': tones('1 4 5'),
  // Perfect fifth.
  power: tones('1 5'),
  '7alt': tones('1 3 b5 b7 b9 #9 b13'),
};

export const CHORD_KINDS = Object.keys(KIND_TONES) as readonly ChordKind[];

/** Whether a text names one of the kinds of chords. */
export function isChordKind(name: string): name is ChordKind {
  return Object.hasOwn(KIND_TONES, name);
}
