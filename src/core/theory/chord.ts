import { ok, type Result } from '../result';
import { type Chord, type ChordSymbol, remembered, tonesOf } from './chord-model';
import { formatChord, parseChord, signOfChord } from './chord-text';
import { type Degree, type DegreeNumber, degreeOf, degreeSemitones, sameDegree } from './degree';
import { type Interval, transposeClass } from './interval';

export type { ChordKind, ChordTone } from './chord-kinds';
export { CHORD_KINDS, isChordKind } from './chord-kinds';
export type { Chord, ChordDegree, ChordSymbol } from './chord-model';
export { chordFrom } from './chord-model';
export { formatChord, formatQuality, isNoChord, parseChord } from './chord-text';

/** The canonical symbol of a text in any spelling. */
export function canonicalSymbol(text: string): Result<ChordSymbol> {
  const read = parseChord(text);
  return read.ok ? ok(formatChord(read.value)) : read;
}

const MEMO_SIZE = 1000;
const memo = new Map<string, Chord>();

/**
 * The chord of a canonical symbol, remembered, so that it costs nothing per note.
 * @throws RangeError when the symbol is not canonical (programmer's error).
 */
export function chordOf(symbol: ChordSymbol): Chord {
  const known = memo.get(symbol);
  if (known !== undefined) return known;
  const read = parseChord(symbol);
  if (!read.ok || formatChord(read.value) !== symbol) {
    throw new RangeError(`not a canonical chord symbol: ${symbol}`);
  }
  if (memo.size >= MEMO_SIZE) memo.clear();
  memo.set(symbol, read.value);
  return read.value;
}

/** The symbol typeset for the page: `F♯°7`, `B♭m7`, `Eø7`, `G7♯5`. */
export function chordSign(c: Chord | ChordSymbol): string {
  return signed(typeof c === 'string' ? chordOf(c) : c);
}

const signed = remembered(signOfChord);

/**
 * Everything the symbol contains as degrees over the root, extensions as 2, 4, 6 and the slash bass
 * included (D3); ascending, each once. Alterations keep their spelling: 7♯9 holds ♯2.
 */
export const chordTones: (c: Chord) => readonly Degree[] = remembered((c) => {
  const all: Degree[] = tonesOf(c).map((t) => ({
    number: (t.value > 7 ? t.value - 7 : t.value) as DegreeNumber,
    alter: t.alter,
  }));
  if (c.bass !== null) all.push(degreeOf(c.root, c.bass));
  return all
    .filter((d, i) => all.findIndex((e) => sameDegree(d, e)) === i)
    .sort((a, b) => degreeSemitones(a) - degreeSemitones(b) || a.number - b.number);
});

function holds(c: Chord, number: DegreeNumber, alter: number): boolean {
  return chordTones(c).some((d) => d.number === number && d.alter === alter);
}

/** Whether a ♭3 is a blue note over the chord (D3); no suspended or power chord has one. */
export function hasMajorThird(c: Chord): boolean {
  return holds(c, 3, 0);
}

/** Whether a ♭5 or ♯4 is a blue note over the chord (D3). */
export function hasPerfectFifth(c: Chord): boolean {
  return holds(c, 5, 0);
}

/** Whether the symbol contains a seventh of any size (D3); a sixth is none. */
export function hasSeventh(c: Chord): boolean {
  return chordTones(c).some((d) => d.number === 7);
}

/** The third of the chord; of a suspended chord the 4 or 2 in its place (M4); null without one. */
export const thirdOf: (c: Chord) => Degree | null = remembered((c) => {
  const third = tonesOf(c).find((t) => t.value === 3 && t.alter === 0);
  if (third !== undefined) return { number: 3, alter: 0 };
  if (tonesOf(c).some((t) => t.value === 3 && t.alter === -1)) return { number: 3, alter: -1 };
  if (c.kind === 'suspended-fourth') return { number: 4, alter: 0 };
  return c.kind === 'suspended-second' ? { number: 2, alter: 0 } : null;
});

/** The chord moved by a spelled interval; null beyond double accidentals (the caller respells, P5). */
export function transposeChord(c: Chord, i: Interval): Chord | null {
  const root = transposeClass(c.root, i);
  const bass = c.bass === null ? null : transposeClass(c.bass, i);
  if (root === null || (c.bass !== null && bass === null)) return null;
  return { ...c, root, bass };
}
