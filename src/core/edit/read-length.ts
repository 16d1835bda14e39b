import { WHOLE_TICKS } from '../phrase/note-value';
import type { Ticks } from '../phrase/types';

/** A length as it was typed. */
export interface TypedLength {
  /** Ticks, of triplets as they sound. */
  readonly ticks: Ticks;
  /** Ticks of the whole triplets that hold it; the same as `ticks` for plain values. */
  readonly whole: Ticks;
}

/** How many of a value are a whole note. */
const PARTS: readonly (readonly [RegExp, number])[] = [
  [/^wholes?( notes?)?$/u, 1],
  [/^(half|halves)( notes?)?$/u, 2],
  [/^quarters?( notes?)?$/u, 4],
  [/^(eighths?|8ths?)( notes?)?$/u, 8],
  [/^(sixteenths?|16ths?)( notes?)?$/u, 16],
  [/^32nds?( notes?)?$/u, 32],
  [/^64ths?( notes?)?$/u, 64],
  [/^128ths?( notes?)?$/u, 128],
];

const TEXT = /^(\d{1,3}(?:[.,]\d{1,4})?)\s*(triplet\s+|dotted\s+)?([\p{L}\d ]*)$/u;

/**
 * Reads a length in a player's words: `3` or `3 eighths`, `1.5`, `1 16th`, `2 triplet eighths`,
 * `1 dotted quarter`, `none`; a number without a value counts eighths.
 * @returns null for what is no length.
 */
export function readLength(text: string): TypedLength | null {
  const plain = text.trim().toLowerCase();
  if (plain === 'none') return { ticks: 0, whole: 0 };
  const m = TEXT.exec(plain);
  if (m === null) return null;
  const count = Number(m[1]!.replace(',', '.'));
  const name = m[3]!.trim();
  const kind = m[2]?.trim();
  if (name === '' && kind !== undefined) return null;
  const part = name === '' ? 8 : PARTS.find(([pattern]) => pattern.test(name))?.[1];
  if (part === undefined) return null;
  const value = WHOLE_TICKS / part;
  if (kind !== 'triplet') {
    const ticks = count * value * (kind === 'dotted' ? 1.5 : 1);
    return { ticks, whole: ticks };
  }
  // Three in the time of two.
  return { ticks: (count * value * 2) / 3, whole: Math.ceil(count / 3) * value * 2 };
}
