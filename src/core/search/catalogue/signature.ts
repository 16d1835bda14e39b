import { MARK, type NotePool } from './pool';
import { NO_DEGREE } from './sheet';

/** Words of 32 bits of what a line holds, so that most phrases are passed over by one look. */
export const SIGNATURE = {
  /** Pairs of degrees side by side, four words of hashed bits. */
  pairs: 0,
  /** The same against the tonic, two words. */
  tonicPairs: 4,
  /** Pairs of rises, two words. */
  rises: 6,
  /** Lengths, hashed. */
  lengths: 8,
  /** Three turns in a row, a bit each. */
  turns: 9,
  /** Pairs of lengths, two words. */
  lengthPairs: 10,
} as const;

export const SIGNATURE_WORDS = 12;

/** The bit that stands for two degrees in a row, in so many words of 32 bits. */
export function pairBit(first: number, second: number, words: number): number {
  return (Math.imul(first * 41 + second + 1, 0x9e37_79b1) >>> 8) % (32 * words);
}

/** @param length In ticks, a silence negative. */
export function lengthBit(length: number): number {
  return (Math.imul(length, 0x9e37_79b1) >>> 8) % 32;
}

/** The bit, from 0 to 63, that stands for two lengths in a row. */
export function lengthPairBit(first: number, second: number): number {
  return (Math.imul(Math.imul(first, 31) + second, 0x9e37_79b1) >>> 8) % 64;
}

/** The bit, from 0 to 63, that stands for two rises in a row, in semitones from −128 to 127. */
export function riseBit(first: number, second: number): number {
  return pairBit(first + 128, second + 128, 2);
}

/** @param turns Each −1, 0 or 1. */
export function turnBit(a: number, b: number, c: number): number {
  return (a + 1) * 9 + (b + 1) * 3 + c + 1;
}

function set(words: Uint32Array, at: number, bit: number): void {
  words[at + (bit >>> 5)]! |= 1 << (bit & 31);
}

/** The signature of the notes of one phrase. */
export function signatureOf(pool: NotePool, first: number, end: number): Uint32Array {
  const out = new Uint32Array(SIGNATURE_WORDS);
  let before: readonly [from: number, to: number] | null = null;
  let tops: number[] = [];
  let length = 0;
  for (let from = first, to: number; from < end; from = to) {
    to = from + 1;
    while (to < end && (pool.mark.values[to]! & MARK.event) === 0) to++;
    if ((pool.mark.values[from]! & MARK.voice) !== 0) {
      before = null;
      tops = [];
      length = 0;
    }
    const rest = pool.rest.values[from]!;
    if (rest > 0) length = addLength(out, length, -rest);
    length = addLength(out, length, pool.duration.values[from]!);
    let top = 0;
    for (let i = from; i < to; i++) top = Math.max(top, pool.midi.values[i]!);
    if (top === 0) continue;
    if (before !== null) addPairs(pool, out, before, [from, to]);
    before = [from, to];
    tops.push(top);
    addRises(out, tops);
  }
  return out;
}

/** @param before 0 at the beginning of a voice. */
function addLength(out: Uint32Array, before: number, length: number): number {
  set(out, SIGNATURE.lengths, lengthBit(length));
  if (before !== 0) set(out, SIGNATURE.lengthPairs, lengthPairBit(before, length));
  return length;
}

function addPairs(
  pool: NotePool,
  out: Uint32Array,
  [a, aEnd]: readonly [number, number],
  [b, bEnd]: readonly [number, number],
): void {
  const { start, heard, keyStart, keyHeard } = pool;
  for (let i = a; i < aEnd; i++) {
    for (let j = b; j < bEnd; j++) {
      for (const x of [start.values[i]!, heard.values[i]!]) {
        for (const y of [start.values[j]!, heard.values[j]!]) {
          if (x !== NO_DEGREE && y !== NO_DEGREE) set(out, SIGNATURE.pairs, pairBit(x, y, 4));
        }
      }
      for (const x of [keyStart.values[i]!, keyHeard.values[i]!]) {
        for (const y of [keyStart.values[j]!, keyHeard.values[j]!]) {
          if (x !== NO_DEGREE && y !== NO_DEGREE) set(out, SIGNATURE.tonicPairs, pairBit(x, y, 2));
        }
      }
    }
  }
}

function addRises(out: Uint32Array, tops: readonly number[]): void {
  const n = tops.length;
  if (n < 3) return;
  const rise = (i: number) => tops[n - i]! - tops[n - i - 1]!;
  set(out, SIGNATURE.rises, riseBit(rise(2), rise(1)));
  if (n < 4) return;
  const turn = (i: number) => Math.sign(rise(i));
  set(out, SIGNATURE.turns, turnBit(turn(3), turn(2), turn(1)));
}
