import { chordOf, formatChord, thirdOf } from '../theory/chord';
import type { ChordSymbol } from '../theory/chord-model';
import { formatKey, type Key } from '../theory/key';
import { type PitchClass, samePitchClass } from '../theory/pitch';
import { parseRoman } from '../theory/roman';

/** Whether a symbol of a lane is what was asked for, in a key. */
export type ChordTest = (symbol: ChordSymbol, key: Key) => boolean;

/**
 * The test of a symbol or numeral. A numeral with a quality is that chord alone. A bare one is every
 * chord on its step that has its third, since `IV` names the place in a form, whatever seventh
 * stands there.
 * @param text As `readChordText` gives it.
 */
export function chordTest(text: string): ChordTest {
  if (/^[A-G]/u.test(text)) return (symbol) => symbol === text;
  const means = meaningOf(text);
  return (symbol, key) => {
    const chord = chordOf(symbol);
    return means(symbol, chord.root, thirdOf(chord)?.alter, key, formatKey(key));
  };
}

/** The same with what it asks of a symbol and of a key read before, for many of them. */
export function meaningOf(
  text: string,
): (
  symbol: ChordSymbol,
  root: PitchClass,
  third: number | undefined,
  key: Key,
  keyName: string,
) => boolean {
  if (/^[A-G]/u.test(text)) return (symbol) => symbol === text;
  const bare = /^[b#♭♯]*[IViv]+$/u.test(text);
  const inKey = new Map<string, Meant | null>();
  return (symbol, root, third, key, keyName) => {
    let meant = inKey.get(keyName);
    if (meant === undefined) {
      meant = readIn(text, key);
      inKey.set(keyName, meant);
    }
    if (meant === null) return false;
    if (!bare) return meant.symbol === symbol;
    return samePitchClass(root, meant.root) && third === meant.third;
  };
}

interface Meant {
  readonly root: PitchClass;
  readonly symbol: ChordSymbol;
  /** Alteration of its third; undefined where it has none. */
  readonly third: number | undefined;
}

function readIn(text: string, key: Key): Meant | null {
  const read = parseRoman(text, key);
  if (!read.ok) return null;
  const chord = read.value;
  return { root: chord.root, symbol: formatChord(chord), third: thirdOf(chord)?.alter };
}
