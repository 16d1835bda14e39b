import { chordOf, thirdOf } from '../../theory/chord';
import type { ChordSymbol } from '../../theory/chord-model';
import { formatKey, type Key } from '../../theory/key';
import { mod, type PitchClass } from '../../theory/pitch';
import { isBare, isSymbol, meantIn, NO_CHORD } from '../chord-test';
import { type Heard, heardIn, suitsWish, wishIn } from '../fits-chord';
import { bytes, longs, shorts } from './column';

interface Pair {
  readonly symbol: ChordSymbol;
  readonly key: Key;
}

/** What was asked for lately is asked for again while one types. */
const REMEMBERED = 64;

/** What `stepsTo` has for N.C. where that is asked for. */
export const NO_CHORD_STEP = 13;

/** Every chord symbol with the key it stands in, once, numbered from 1. */
export class Chords {
  private readonly numbers = new Map<string, number>();
  private readonly pairs: Pair[] = [];
  /** Of each pair a number for its key, its symbol, its root and its third. */
  private readonly keyPlaces = shorts();
  private readonly symbolPlaces = longs();
  private readonly roots = bytes();
  private readonly thirds = bytes();
  /** What a phrase hears in it, as a place among all that can be heard. */
  private readonly soundPlaces = longs();
  private readonly sounds: Heard[] = [];
  private readonly keys: Key[] = [];
  private readonly places = {
    keys: new Map<string, number>(),
    symbols: new Map<string, number>(),
    sounds: new Map<string, number>(),
  };
  private readonly asked = new Map<string, Uint8Array>();
  private readonly stepsAsked = new Map<string, Uint8Array>();

  numberOf(symbol: ChordSymbol, key: Key): number {
    const keyName = formatKey(key);
    const name = `${keyName} ${symbol}`;
    const known = this.numbers.get(name);
    if (known !== undefined) return known;
    const chord = chordOf(symbol);
    this.roots.push(rootCode(chord.root));
    this.thirds.push(thirdCode(thirdOf(chord)?.alter));
    const { keys, symbols } = this.places;
    this.soundPlaces.push(this.placeOfSound(heardIn(chord)));
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
    this.stepsAsked.clear();
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

  private placeOfSound(heard: Heard): number {
    const { sounds } = this.places;
    const name = `${heard.chroma} ${heard.third} ${heard.quality}`;
    const known = sounds.get(name);
    if (known !== undefined) return known;
    sounds.set(name, this.sounds.length);
    return this.sounds.push(heard) - 1;
  }

  /**
   * For each number 0 where a phrase over the chord does not fit what is asked for, else 1 and the semitones by which
   * it would be moved down; 0 stands for N.C., which fits as `NO_CHORD_STEP`.
   */
  stepsTo(text: string): Uint8Array {
    const before = this.stepsAsked.get(text);
    if (before !== undefined) return before;
    const steps = new Uint8Array(this.count + 1);
    if (text === NO_CHORD) steps[0] = NO_CHORD_STEP;
    else {
      // Each sound is compared once in each key, of which there are few.
      const inKey = this.keys.map((key) => {
        const wish = wishIn(text, key);
        if (wish === null || wish.kind === 'no chord') return null;
        return this.sounds.map((heard) =>
          suitsWish(heard, wish) ? 1 + mod(heard.chroma - wish.chroma, 12) : 0,
        );
      });
      for (let i = 0; i < this.count; i++) {
        const sound = this.soundPlaces.values[i]!;
        steps[i + 1] = inKey[this.keyPlaces.values[i]!]?.[sound] ?? 0;
      }
    }
    if (this.stepsAsked.size >= REMEMBERED) this.stepsAsked.clear();
    this.stepsAsked.set(text, steps);
    return steps;
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
