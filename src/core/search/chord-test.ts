import { chordOf, formatChord, thirdOf } from '../theory/chord';
import type { ChordSymbol } from '../theory/chord-model';
import { formatKey, type Key } from '../theory/key';
import { samePitchClass } from '../theory/pitch';
import { parseRoman } from '../theory/roman';

/** Whether a symbol of a lane is what was asked for, in a key; remembered by key and symbol. */
export type ChordTest = (symbol: ChordSymbol, key: Key) => boolean;

/**
 * The test of a symbol or numeral. A numeral with a quality is that chord alone. A bare one is every
 * chord on its step that has its third, since `IV` names the place in a form, whatever seventh
 * stands there.
 * @param text As `readChordText` gives it.
 */
export function chordTest(text: string): ChordTest {
  if (/^[A-G]/u.test(text)) return (symbol) => symbol === text;
  const bare = /^[b#♭♯]*[IViv]+$/u.test(text);
  const known = new Map<string, boolean>();
  return (symbol, key) => {
    const name = `${formatKey(key)} ${symbol}`;
    const before = known.get(name);
    if (before !== undefined) return before;
    const meant = parseRoman(text, key);
    const found = chordOf(symbol);
    const fits =
      meant.ok &&
      (bare
        ? samePitchClass(found.root, meant.value.root) &&
          thirdOf(found)?.alter === thirdOf(meant.value)?.alter
        : formatChord(meant.value) === symbol);
    known.set(name, fits);
    return fits;
  };
}
