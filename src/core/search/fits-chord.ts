import { chordOf, formatChord, thirdOf } from '../theory/chord';
import { familyOf } from '../theory/chord-family';
import type { Chord, ChordSymbol } from '../theory/chord-model';
import type { Key } from '../theory/key';
import { chromaOf } from '../theory/pitch';
import { parseRoman } from '../theory/roman';
import { isBare, isSymbol, NO_CHORD } from './chord-test';

/** What a phrase over one chord must find in another to fit it. */
export interface Heard {
  /** Pitch class of the root in semitones from C. */
  readonly chroma: number;
  /** The family (dominant, major, minor, diminished); of a chord of none the chord itself over C. */
  readonly quality: string;
  /** Alteration of the third; undefined where there is none. */
  readonly third: number | undefined;
}

/** A place that a phrase is to fit. */
export type Wish =
  | { readonly kind: 'no chord' }
  /** `bare`: a numeral without quality, which takes every chord with its third. */
  | (Heard & { readonly kind: 'chord'; readonly bare: boolean });

const C = { letter: 'C', alter: 0 } as const;

export function heardIn(chord: Chord): Heard {
  const family = familyOf(chord);
  return {
    chroma: chromaOf(chord.root),
    quality: family === '-' ? formatChord({ ...chord, root: C, bass: null }) : family,
    third: thirdOf(chord)?.alter,
  };
}

/**
 * What a chord or numeral asks for in a key; null where the numeral names none there.
 * @param text As `readChordText` gives it.
 */
export function wishIn(text: string, key: Key): Wish | null {
  if (text === NO_CHORD) return { kind: 'no chord' };
  if (isSymbol(text))
    return { kind: 'chord', bare: false, ...heardIn(chordOf(text as ChordSymbol)) };
  const read = parseRoman(text, key);
  return read.ok ? { kind: 'chord', bare: isBare(text), ...heardIn(read.value) } : null;
}

/** Whether a chord is of the quality that is asked for, wherever its root is. */
export function suitsWish(heard: Heard, wish: Wish & { kind: 'chord' }): boolean {
  return wish.bare ? heard.third === wish.third : heard.quality === wish.quality;
}
