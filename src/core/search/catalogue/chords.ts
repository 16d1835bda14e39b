import { chordOf, thirdOf } from '../../theory/chord';
import type { ChordSymbol } from '../../theory/chord-model';
import { formatKey, type Key } from '../../theory/key';
import type { PitchClass } from '../../theory/pitch';
import { meaningOf } from '../chord-test';

interface Pair {
  readonly symbol: ChordSymbol;
  readonly root: PitchClass;
  readonly third: number | undefined;
  readonly key: Key;
  readonly keyName: string;
}

/** What was asked for lately is asked for again while one types. */
const REMEMBERED = 64;

/** Every chord symbol with the key it stands in, once, numbered from 1. */
export class Chords {
  private readonly numbers = new Map<string, number>();
  private readonly pairs: Pair[] = [];
  private readonly asked = new Map<string, Uint8Array>();

  numberOf(symbol: ChordSymbol, key: Key): number {
    const keyName = formatKey(key);
    const name = `${keyName} ${symbol}`;
    const known = this.numbers.get(name);
    if (known !== undefined) return known;
    const chord = chordOf(symbol);
    const third = thirdOf(chord)?.alter;
    this.pairs.push({ symbol, root: chord.root, third, key, keyName });
    this.numbers.set(name, this.pairs.length);
    this.asked.clear();
    return this.pairs.length;
  }

  /** The highest number. */
  get count(): number {
    return this.pairs.length;
  }

  /** All of them in the order of their numbers, to be numbered again. */
  kept(): readonly (readonly [ChordSymbol, Key])[] {
    return this.pairs.map(({ symbol, key }) => [symbol, key]);
  }

  /** For each number whether the chord is what was asked for. */
  fitting(text: string): Uint8Array {
    const before = this.asked.get(text);
    if (before !== undefined) return before;
    const means = meaningOf(text);
    const fits = new Uint8Array(this.pairs.length + 1);
    for (const [i, p] of this.pairs.entries()) {
      if (means(p.symbol, p.root, p.third, p.key, p.keyName)) fits[i + 1] = 1;
    }
    if (this.asked.size >= REMEMBERED) this.asked.clear();
    this.asked.set(text, fits);
    return fits;
  }
}
