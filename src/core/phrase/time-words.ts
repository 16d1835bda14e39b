import { NOTE_VALUES, WHOLE_TICKS } from './note-value';
import { barAt, isCompound, positionOf } from './time';
import { type Meter, type Phrase, TICKS_PER_QUARTER, type Ticks } from './types';

/** The values from the longest, each half of the one before, as a musician calls them. */
const VALUES: readonly string[] = NOTE_VALUES.map((v) =>
  v === 'whole' || v === 'half' ? `${v} note` : v,
);

const ORDINALS = [
  'first',
  'second',
  'third',
  'fourth',
  'fifth',
  'sixth',
  'seventh',
  'eighth',
  'ninth',
  'tenth',
  'eleventh',
  'twelfth',
];

/** Into how many equal parts a place may divide its beat and still be said by note values (T1). */
const PARTS = [2, 3, 4, 5, 6, 7, 8, 9, 12] as const;
type Parts = (typeof PARTS)[number];

/** Of a plain beat: how the value is called, and how many of its plain kind fill the beat. */
const IN_PLAIN: Readonly<Record<Parts, readonly [name: string, plain: number]>> = {
  2: ['', 2],
  3: ['triplet ', 2],
  4: ['', 4],
  5: ['quintuplet ', 4],
  6: ['triplet ', 4],
  7: ['septuplet ', 4],
  8: ['', 8],
  9: ['nonuplet ', 8],
  12: ['triplet ', 8],
};

/** What two reckonings of one place may differ by, in beats. */
const NEAR = 1e-6;

/**
 * A place within a bar as it is said (T2). Half a plain beat is its *and*; every other part is called by
 * its note value: `2 and`, `2, fourth 16th`, `2, second triplet eighth`, and in 12/8, whose beat is
 * dotted, `2, second eighth`. What has no such name is told in decimals. *Common practice.*
 * @param beat From 1, with its fraction, as `positionOf` has it.
 */
export function beatPlace(beat: number, meter: Meter): string {
  const whole = Math.floor(beat + NEAR);
  const part = beat - whole;
  if (Math.abs(part) <= NEAR) return String(whole);
  const parts = PARTS.find((n) => Math.abs(part * n - Math.round(part * n)) <= NEAR * n);
  if (parts === undefined || whole < 1) return decimals(beat);
  if (isCompound(meter)) {
    // Halves and quarters of a dotted beat lie between its thirds.
    const said = parts === 2 || parts === 4 ? ((parts * 3) as Parts) : parts;
    const value = VALUES[Math.log2((meter.beatType * said) / 3)];
    return value === undefined ? decimals(beat) : nth(whole, part * said, value);
  }
  if (parts === 2) return `${whole} and`;
  const [name, plain] = IN_PLAIN[parts];
  const value = VALUES[Math.log2(meter.beatType * plain)];
  return value === undefined ? decimals(beat) : nth(whole, part * parts, name + value);
}

/** `2, fourth 16th`. */
function nth(whole: number, gone: number, value: string): string {
  return `${whole}, ${ORDINALS[Math.round(gone)]} ${value}`;
}

/** A number of beats that has no name: at most two decimals. */
function decimals(n: number): string {
  return String(Math.round(n * 100) / 100);
}

/** `beatPlace` of an onset of a phrase. */
export function beatPlaceOf(p: Parameters<typeof positionOf>[0], onset: Ticks): string {
  return beatPlace(positionOf(p, onset).beat, barAt(p, onset).bar.meter);
}

/** `bar 2, beat 3 and` of an onset, inside a sentence; of bar 0 `pickup, beat 4`. */
export function placeWords(p: Parameters<typeof positionOf>[0], onset: Ticks): string {
  const { bar } = positionOf(p, onset);
  return `${bar === 0 ? 'pickup' : `bar ${bar}`}, beat ${beatPlaceOf(p, onset)}`;
}

/** Bar and beat of an onset, and the beat in words where it is no whole one: for a `Problem`. */
export function problemPlace(
  p: Pick<Phrase, 'pickup' | 'bars' | 'length'>,
  onset: Ticks,
): { readonly bar: number; readonly beat: number; readonly said?: string } {
  return saidPlace(positionOf(p, onset), barAt(p, onset).bar.meter);
}

/** The same of a position whose metre is known. */
export function saidPlace(
  { bar, beat }: { readonly bar: number; readonly beat: number },
  meter: Meter,
): { readonly bar: number; readonly beat: number; readonly said?: string } {
  return Number.isInteger(beat) ? { bar, beat } : { bar, beat, said: beatPlace(beat, meter) };
}

/**
 * Tuplets by how many stand in the time of how many (T1), those without which no length has a name: a
 * sextuplet 16th is a triplet 16th, and a duplet eighth a dotted eighth.
 */
const TUPLETS = [
  ['triplet', 3, 2],
  ['quintuplet', 5, 4],
  ['septuplet', 7, 4],
  ['nonuplet', 9, 8],
  ['15-tuplet', 15, 8],
] as const;

/** So many values are joined by ties at most before a length is told in numbers. */
const MOST_TIED = 3;

/**
 * A length as it is said, with its article: `an eighth`, `a dotted quarter`, `a triplet eighth`,
 * `a half note and an eighth` where it is tied, `2 whole notes`. *Common practice.*
 */
export function lengthWords(length: Ticks): string {
  const parts: string[] = [];
  let rest = length;
  while (rest > 0 && parts.length < MOST_TIED) {
    const one = oneValue(rest) === null ? largestIn(rest) : rest;
    if (one === 0) break;
    parts.push(oneValue(one)!);
    rest -= one;
  }
  if (rest > 0 || parts.length === 0) return inQuarters(length / TICKS_PER_QUARTER);
  return parts.length < 2 ? parts[0]! : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
}

/** A length without a name; what sounds is not said to last nothing. */
function inQuarters(n: number): string {
  if (n > 0 && n < 0.01) return 'less than 0.01 quarters';
  const said = decimals(n);
  return said === '1' ? 'about a quarter' : `${said} quarters`;
}

/** A length that one note, dotted or of a tuplet, can have; null for the others. */
function oneValue(length: Ticks): string | null {
  if (length > WHOLE_TICKS && length % WHOLE_TICKS === 0)
    return `${length / WHOLE_TICKS} whole notes`;
  const plain = dotted(length);
  if (plain !== null) return withArticle(plain);
  for (const [name, n, inTimeOf] of TUPLETS) {
    const value = dotted((length * n) / inTimeOf);
    if (value !== null) return withArticle(`${name} ${value}`);
  }
  return null;
}

/** `dotted quarter`; with two dots at most. */
function dotted(length: Ticks): string | null {
  for (const [word, eighths] of [
    ['', 8],
    ['dotted ', 12],
    ['double-dotted ', 14],
  ] as const) {
    const value = (length * 8) / eighths;
    const name = VALUES[Math.log2(WHOLE_TICKS / value)];
    if (name !== undefined) return word + name;
  }
  return null;
}

/** All whole notes that a length holds, or else its longest plain value; 0 where it holds none. */
function largestIn(length: Ticks): Ticks {
  if (length >= WHOLE_TICKS) return length - (length % WHOLE_TICKS);
  return VALUES.map((_, i) => WHOLE_TICKS / 2 ** i).find((value) => value <= length) ?? 0;
}

function withArticle(name: string): string {
  return `${/^[aeiou]/u.test(name) ? 'an' : 'a'} ${name}`;
}
