import { chordOf, formatChord, thirdOf } from '../theory/chord';
import type { ChordSymbol } from '../theory/chord-model';
import { formatKey, type Key } from '../theory/key';
import { type PitchClass, samePitchClass } from '../theory/pitch';
import { parseRoman } from '../theory/roman';

/** Whether a symbol of a lane is what was asked for, in a key. */
export type ChordTest = (symbol: ChordSymbol, key: Key) => boolean;

/** What a lane says where no chord is, as it is printed; searched like a chord. */
export const NO_CHORD = 'N.C.';

/**
 * The test of a symbol or numeral. A numeral with a quality is that chord alone. A bare one is every
 * chord on its step that has its third, since `IV` names the place in a form, whatever seventh
 * stands there.
 * @param text As `readChordText` gives it.
 */
export function chordTest(text: string): ChordTest {
  if (isSymbol(text)) return (symbol) => symbol === text;
  const inKey = new Map<string, Meant | null>();
  return (symbol, key) => {
    const name = formatKey(key);
    let meant = inKey.get(name);
    if (meant === undefined) {
      meant = meantIn(text, key);
      inKey.set(name, meant);
    }
    if (meant === null) return false;
    if (!isBare(text)) return meant.symbol === symbol;
    const chord = chordOf(symbol);
    return samePitchClass(chord.root, meant.root) && thirdOf(chord)?.alter === meant.third;
  };
}

/** Whether a text is a symbol, which is the same in every key. */
export function isSymbol(text: string): boolean {
  return /^[A-G]/u.test(text);
}

/** Whether it is a numeral without a quality. */
export function isBare(text: string): boolean {
  return /^[b#♭♯]*[IViv]+$/u.test(text);
}

/** The chord that a numeral names in a key. */
export interface Meant {
  readonly root: PitchClass;
  readonly symbol: ChordSymbol;
  /** Alteration of its third; undefined where it has none. */
  readonly third: number | undefined;
}

/** @returns null where it names none there. */
export function meantIn(text: string, key: Key): Meant | null {
  const read = parseRoman(text, key);
  if (!read.ok) return null;
  const chord = read.value;
  return { root: chord.root, symbol: formatChord(chord), third: thirdOf(chord)?.alter };
}
