import { WHOLE_TICKS } from './note-value';
import type { Ticks } from './types';

/** A length as it was typed. */
export interface TypedLength {
  /** Ticks, of tuplets as they sound. */
  readonly ticks: Ticks;
  /** Ticks of the whole tuplets that hold it; the same as `ticks` for plain values. */
  readonly whole: Ticks;
}

/** How many of a value are a whole note, by its names on both sides of the Atlantic (common practice). */
const PARTS: readonly (readonly [RegExp, number])[] = [
  [/^(whole|semibreve)$/u, 1],
  [/^(half|minim)$/u, 2],
  [/^(quarter|4th|crotchet)$/u, 4],
  [/^(eighth|8th|quaver)$/u, 8],
  [/^(sixteenth|16th|semiquaver)$/u, 16],
  [/^(32nd|demisemiquaver)$/u, 32],
  [/^(64th|hemidemisemiquaver)$/u, 64],
  [/^128th$/u, 128],
];

/** How many stand in the time of how many (T1). */
const TUPLETS: ReadonlyMap<string, readonly [number, number]> = new Map([
  ['duplet', [2, 3]],
  ['triplet', [3, 2]],
  ['quadruplet', [4, 3]],
  ['quintuplet', [5, 4]],
  ['sextuplet', [6, 4]],
  ['septuplet', [7, 4]],
  ['octuplet', [8, 6]],
  ['nonuplet', [9, 8]],
  ['decuplet', [10, 8]],
  ['15-tuplet', [15, 8]],
]);
const DOTS: ReadonlyMap<string, number> = new Map([
  ['dotted', 1.5],
  ['double-dotted', 1.75],
]);

const COUNTS = 'a an one two three four five six seven eight nine ten eleven twelve'
  .split(' ')
  .map((word, i) => [word, i < 2 ? 1 : i - 1] as const);
const COUNT_OF: ReadonlyMap<string, number> = new Map(COUNTS);

const NUMBER = /^\d{1,3}(?:[.,]\d{1,4})?$/u;
const FRACTION = /^(\d{1,3})\/(\d{1,3})$/u;
/** `½` behind a number is a part of it; alone it is a value, as `1/2` is. */
const PARTS_OF_NUMBER: readonly (readonly [RegExp, string])[] = [
  [/(?<=\d)\s*½/gu, '.5'],
  [/(?<=\d)\s*¼/gu, '.25'],
  [/(?<=\d)\s*¾/gu, '.75'],
];

/**
 * Reads a length in a player's words: `1/8`, `an eighth`, `3 eighths`, `dotted quarter`, `2 triplet eighths`,
 * `a quarter and a 16th`, `none`; a number alone counts eighths: `3`, `1.5`. What `lengthWords` says of a
 * note is read back as it was.
 * @returns null for what is no length.
 */
export function readLength(text: string): TypedLength | null {
  const plain = PARTS_OF_NUMBER.reduce(
    (t, [sign, part]) => t.replace(sign, part),
    text.trim().toLowerCase(),
  )
    // `⅜` is 3/8, with a stroke of its own.
    .normalize('NFKC')
    .replaceAll('⁄', '/')
    .replace(/\bdouble\s+dotted\b/gu, 'double-dotted');
  if (plain === 'none') return { ticks: 0, whole: 0 };
  if (NUMBER.test(plain)) return plainLength((asNumber(plain) * WHOLE_TICKS) / 8);
  let ticks = 0;
  let whole = 0;
  for (const part of plain.split(/\s*\+\s*|\s*,\s+|\s+and\s+|\s+tied to\s+/u)) {
    const one = readOne(part.split(/\s+/u).filter((w) => !/^notes?$/u.test(w)));
    if (one === null) return null;
    ticks += one.ticks;
    whole += one.whole;
  }
  return { ticks, whole };
}

/** One value, so many times: count, dots and tuplet, name. */
function readOne(words: readonly string[]): TypedLength | null {
  let count: number | null = null;
  let dots = 1;
  let tuplet: readonly [number, number] | null = null;
  let value: Ticks | null = null;
  for (const word of words) {
    const counted = COUNT_OF.get(word) ?? (NUMBER.test(word) ? asNumber(word) : undefined);
    const inTuplet = TUPLETS.get(word.replace(/s$/u, ''));
    const dotted = DOTS.get(word);
    if (counted !== undefined) {
      if (count !== null || value !== null) return null;
      count = counted;
    } else if (dotted !== undefined) {
      if (dots !== 1) return null;
      dots = dotted;
    } else if (inTuplet !== undefined) {
      if (tuplet !== null) return null;
      tuplet = inTuplet;
    } else {
      const named: Ticks | null = valueCalled(word);
      if (value !== null || named === null) return null;
      value = named;
    }
  }
  if (value === null) return null;
  const written = (count ?? 1) * value * dots;
  if (tuplet === null) return plainLength(written);
  const [n, inTimeOf] = tuplet;
  const group = value * inTimeOf;
  const ticks = (written * inTimeOf) / n;
  return { ticks, whole: Math.ceil(ticks / group) * group };
}

/** The ticks of `eighths`, `8th` or `3/8`; null for what is no value. */
function valueCalled(word: string): Ticks | null {
  const fraction = FRACTION.exec(word);
  if (fraction !== null) {
    const part = Number(fraction[2]);
    return PARTS.some(([, n]) => n === part) ? (Number(fraction[1]) * WHOLE_TICKS) / part : null;
  }
  const name = word === 'halves' ? 'half' : word.replace(/s$/u, '');
  const part = PARTS.find(([called]) => called.test(name));
  return part === undefined ? null : WHOLE_TICKS / part[1];
}

function plainLength(ticks: Ticks): TypedLength {
  return { ticks, whole: ticks };
}

function asNumber(text: string): number {
  return Number(text.replace(',', '.'));
}
