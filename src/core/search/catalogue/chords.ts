import { chordOf, thirdOf } from '../../theory/chord';
import type { ChordSymbol } from '../../theory/chord-model';
import { formatKey, type Key } from '../../theory/key';
import type { PitchClass } from '../../theory/pitch';
import { isBare, isSymbol, meantIn, NO_CHORD } from '../chord-test';
import { type Heard, heardIn } from '../fits-chord';
import { bytes, longs, shorts } from './column';

interface Pair {
  readonly symbol: ChordSymbol;
  readonly key: Key;
}

/** What was asked for lately is asked for again while one types. */
const REMEMBERED = 64;

/** Every chord symbol with the key it stands in, once, numbered from 1. */
export class Chords {
  private readonly numbers = new Map<string, number>();
  private readonly pairs: Pair[] = [];
  /** Of each pair a number for its key, its symbol, its root and its third. */
  private readonly keyPlaces = shorts();
  private readonly symbolPlaces = longs();
  private readonly roots = bytes();
  private readonly thirds = bytes();
  private readonly sounds: Heard[] = [];
  private readonly keys: Key[] = [];
  private readonly places = { keys: new Map<string, number>(), symbols: new Map<string, number>() };
  private readonly asked = new Map<string, Uint8Array>();

  numberOf(symbol: ChordSymbol, key: Key): number {
    const keyName = formatKey(key);
    const name = `${keyName} ${symbol}`;
    const known = this.numbers.get(name);
    if (known !== undefined) return known;
    const chord = chordOf(symbol);
    this.roots.push(rootCode(chord.root));
    this.thirds.push(thirdCode(thirdOf(chord)?.alter));
    this.sounds.push(heardIn(chord));
    const { keys, symbols } = this.places;
    if (!keys.has(keyName)) {
      keys.set(keyName, this.keys.length);
      this.keys.push(key);
    }
    this.keyPlaces.push(keys.get(keyName)!);
    if (!symbols.has(symbol)) symbols.set(symbol, symbols.size);
    this.symbolPlaces.push(symbols.get(symbol)!);
    this.pairs.push({ symbol, key });
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

  /** What a phrase hears in the chord of a number. */
  heardIn(number: number): Heard {
    return this.sounds[number - 1]!;
  }

  /** For each number whether the chord is what was asked for; 0 stands for N.C. */
  fitting(text: string): Uint8Array {
    const before = this.asked.get(text);
    if (before !== undefined) return before;
    const fits =
      text === NO_CHORD
        ? Uint8Array.of(1)
        : isSymbol(text)
          ? this.ofSymbol(text)
          : this.ofNumeral(text);
    if (this.asked.size >= REMEMBERED) this.asked.clear();
    this.asked.set(text, fits);
    return fits;
  }

  private ofSymbol(symbol: string): Uint8Array {
    const fits = new Uint8Array(this.count + 1);
    const place = this.places.symbols.get(symbol);
    for (let i = 0; i < this.count; i++) {
      if (this.symbolPlaces.values[i] === place) fits[i + 1] = 1;
    }
    return fits;
  }

  /** Read once in every key; what it means there is compared as numbers. */
  private ofNumeral(text: string): Uint8Array {
    const fits = new Uint8Array(this.count + 1);
    const bare = isBare(text);
    const meant = this.keys.map((key) => meantIn(text, key));
    const roots = meant.map((m) => (m === null ? -1 : rootCode(m.root)));
    const thirds = meant.map((m) => (m === null ? -1 : thirdCode(m.third)));
    const symbols = meant.map((m) => (m === null ? -1 : (this.places.symbols.get(m.symbol) ?? -1)));
    for (let i = 0; i < this.count; i++) {
      const key = this.keyPlaces.values[i]!;
      const same = bare
        ? this.roots.values[i] === roots[key] && this.thirds.values[i] === thirds[key]
        : this.symbolPlaces.values[i] === symbols[key];
      if (same) fits[i + 1] = 1;
    }
    return fits;
  }
}

/** Two roots have one number where letter and alteration are the same. */
function rootCode({ letter, alter }: PitchClass): number {
  return (letter.charCodeAt(0) & 15) * 16 + alter + 8;
}

/** @param alter Undefined where a chord has no third. */
function thirdCode(alter: number | undefined): number {
  return alter === undefined ? 0 : alter + 8;
}
