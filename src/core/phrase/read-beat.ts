import { beatPlace } from './time-words';
import type { Meter, Phrase } from './types';

/** Parts of a beat as signs. */
const SIGNS: Readonly<Record<string, string>> = {
  '½': ' 1/2',
  '⅓': ' 1/3',
  '⅔': ' 2/3',
  '¼': ' 1/4',
  '¾': ' 3/4',
};
/** How else the words of `beatPlace` are written. */
const ALSO: readonly (readonly [RegExp, string])[] = [
  [/\bbeat\b|[,;]/gu, ' '],
  [/\s*[&+]/gu, ' and'],
  [/\b2nd\b/gu, 'second'],
  [/\b3rd\b/gu, 'third'],
  [/\b4th\b/gu, 'fourth'],
  [/\b8ths?\b/gu, 'eighth'],
  [/\bsixteenths?\b/gu, '16th'],
  [/\s+/gu, ' '],
];
const NUMBER = /^(\d{1,3})(?:[.,](\d{1,6}))?$/u;
const WITH_PART = /^(\d{1,3}) (?:(and)|(\d{1,2})\/(\d{1,2}))$/u;
/** Into so many parts a beat is looked through for its words, as `beatPlace` divides it. */
const MOST_PARTS = 12;

/**
 * Reads the place of a note in its bar, in beats from 1: `2`, `2.5`, `2,5`, `2 and`, `2&`, `2 1/3`; and, where
 * the metre is known, what the program says of such a place (`beatPlace`): `2, fourth 16th`.
 * @returns null for what is no beat.
 */
export function readBeat(text: string, meter: Meter | null): number | null {
  const signs = text.toLowerCase().replace(/[½⅓⅔¼¾]/gu, (sign) => SIGNS[sign]!);
  const decimal = NUMBER.exec(signs.replace(/\bbeat\b/u, '').trim());
  if (decimal !== null) return toThird(Number(`${decimal[1]}.${decimal[2] ?? 0}`));
  const plain = asWords(signs);
  const parted = WITH_PART.exec(plain);
  if (parted !== null) {
    const [, whole, and, over, under] = parted;
    const part = and === undefined ? Number(over) / Number(under) : 1 / 2;
    return part < 1 ? Number(whole) + part : null;
  }
  const whole = Number(/^\d{1,3}(?= )/u.exec(plain)?.[0] ?? 0);
  if (meter === null || whole < 1) return null;
  for (let parts = 2; parts <= MOST_PARTS; parts++) {
    for (let k = 1; k < parts; k++) {
      const beat = whole + k / parts;
      if (asWords(beatPlace(beat, meter)) === plain) return beat;
    }
  }
  return null;
}

/** The metre of a bar by its number; for the pickup that of the first bar; null where there is none. */
export function metersOf({ bars }: Pick<Phrase, 'bars'>): (bar: number) => Meter | null {
  return (bar) => bars[Math.max(0, bar - 1)]?.meter ?? null;
}

function asWords(text: string): string {
  return ALSO.reduce((t, [from, to]) => t.replace(from, to), text).trim();
}

/** `1.33` and `2.667` mean thirds of a beat, which decimals only come near: 12/8 counts in them. */
function toThird(beat: number): number {
  const third = Math.round(beat * 3) / 3;
  return Math.abs(beat - third) < 0.005 ? third : beat;
}
