import type { Phrase } from '../../core/phrase/types';
import {
  chordOf,
  chordTones,
  formatChord,
  hasMajorThird,
  hasSeventh,
} from '../../core/theory/chord';
import { formatKey, twelveKeys } from '../../core/theory/key';
import { parseChordOrRoman, romanSign } from '../../core/theory/roman';
import { chordName, noteName } from './words';

/** A destination that one tap chooses. */
export interface QuickGoal {
  /** What the goal's text becomes. */
  readonly text: string;
  /** On the button: a numeral or a tonic. */
  readonly label: string;
  /** Under it: the chord; empty where the label says all. */
  readonly detail: string;
}

/** Numerals by what the phrase is made of: triads, sevenths, or the three sevenths of a blues. */
const NUMERALS = {
  triads: ['I', 'IV', 'V', 'ii', 'vi'],
  sevenths: ['Imaj7', 'IVmaj7', 'V7', 'ii7', 'vi7'],
  blues: ['I7', 'IV7', 'V7', 'ii7', 'vi7'],
  minor: ['i', 'iv', 'V', 'VI', 'VII'],
  minorSevenths: ['i7', 'iv7', 'V7', 'VImaj7', 'VII7'],
} as const;

/** One, four, five, two and six of the key, in the kind of chord that the phrase is over. */
export function quickChords(p: Phrase): readonly QuickGoal[] {
  return numeralsFor(p).flatMap((text): QuickGoal[] => {
    const chord = parseChordOrRoman(text, p.key);
    if (!chord.ok) return [];
    const detail = chordName(formatChord(chord.value));
    return [{ text, label: romanSign(chord.value, p.key), detail }];
  });
}

function numeralsFor(p: Phrase): readonly string[] {
  const chords = p.chords.flatMap((c) => (c.symbol === null ? [] : [chordOf(c.symbol)]));
  const sevenths = chords.some(hasSeventh);
  if (p.key.mode === 'minor') return sevenths ? NUMERALS.minorSevenths : NUMERALS.minor;
  if (p.key.mode === 'blues') return NUMERALS.blues;
  if (!sevenths) return NUMERALS.triads;
  // A dominant seventh on the tonic: the phrase is at home in a blues whatever its key says.
  const home = chords.filter((c) => noteName(c.root) === noteName(p.key.tonic));
  const bluesy = home.some(
    (c) => hasMajorThird(c) && chordTones(c).some((d) => d.number === 7 && d.alter === -1),
  );
  return bluesy ? NUMERALS.blues : NUMERALS.sevenths;
}

/** The twelve keys of the phrase's mode, its own first (P5). */
export function quickKeys(p: Phrase): readonly QuickGoal[] {
  return twelveKeys(p.key).map((key) => ({
    text: formatKey(key),
    label: noteName(key.tonic),
    detail: '',
  }));
}
