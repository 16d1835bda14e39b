import { beatTicks } from '../../phrase/time';
import type { ChordSymbol, Phrase, Ticks } from '../../phrase/types';
import { barOver } from '../../phrase/voices';
import { canonicalSymbol, chordOf, chordSign, formatChord, isNoChord } from '../../theory/chord';
import type { Key } from '../../theory/key';
import { formatRoman, parseChordOrRoman, parseRoman, romanSign } from '../../theory/roman';
import { defineCommand } from '../command';
import { cannot, done, type Outcome } from '../outcome';
import { sameData } from '../same';
import type { EditState } from '../state';

/** A chord at a moment, as symbol or numeral; what is no chord is told, never stored. */
export interface ChordGiven {
  readonly onset: Ticks;
  /** A symbol, a numeral, `N.C.`; empty takes the chord away. */
  readonly text: string;
}

/** A chord typed at the cursor. */
export const chordHere = defineCommand<string>({
  id: 'chord.here',
  group: 'Chords and key',
  title: 'Write a chord at the cursor',
  words: 'symbol numeral roman harmony lane',
  ask: { kind: 'text', label: 'the chord', example: 'IV7' },
  apply: (s, text) => setChord(s, s.selection.cursor.onset, text),
});

/** A chord typed into the lane. */
export const chordAt = defineCommand<ChordGiven>({
  id: 'chord.at',
  group: 'Chords and key',
  title: 'Write a chord into the lane',
  ask: {
    kind: 'given',
    is: isChordGiven,
    some: (s) => [
      { onset: 0, text: 'I7' },
      { onset: 0, text: '' },
      { onset: 10_080, text: 'Bbmaj7' },
      { onset: s.phrase.length, text: 'C' },
      { onset: 1, text: 'N.C.' },
      { onset: 0, text: 'H13' },
    ],
  },
  apply: (s, { onset, text }) => setChord(s, onset, text),
});

function setChord(s: EditState, onset: Ticks, text: string): Outcome {
  const p = s.phrase;
  const trimmed = text.trim();
  if (!(onset >= 0 && onset < p.length)) return cannot('the lane ends with the phrase');
  const others = p.chords.filter((c) => c.onset !== onset);
  if (trimmed === '') {
    if (others.length === p.chords.length) return cannot('no chord stands there');
    return done({ ...s, phrase: { ...p, chords: others } }, 'chord taken out');
  }
  const symbol = readSymbol(trimmed, p.key);
  if (typeof symbol !== 'object') return cannot(symbol);
  const chords = [...others, { onset, symbol: symbol.symbol }].sort((a, b) => a.onset - b.onset);
  const name = symbol.symbol === null ? 'N.C.' : chordSign(symbol.symbol);
  if (sameData(chords, p.chords)) return cannot(`${name} stands there already`);
  return done({ ...s, phrase: { ...p, chords } }, `${name} from here`);
}

/** The stored form of what was typed, or what is wrong with it. */
function readSymbol(text: string, key: Key): { readonly symbol: ChordSymbol | null } | string {
  if (isNoChord(text)) return { symbol: null };
  const chord = parseChordOrRoman(text, key);
  if (!chord.ok) return chord.problems[0]!.message;
  return { symbol: formatChord(chord.value) };
}

/**
 * A chord as symbol and as numeral, as they are typed and as they are set; a field for either is
 * kept in step with the other by it.
 */
export function chordPair(symbol: ChordSymbol | null, key: Key) {
  if (symbol === null)
    return { symbol: 'N.C.', numeral: 'N.C.', symbolSign: 'N.C.', numeralSign: 'N.C.' };
  const chord = chordOf(symbol);
  return {
    symbol: symbol as string,
    numeral: formatRoman(chord, key),
    symbolSign: chordSign(symbol),
    numeralSign: romanSign(chord, key),
  };
}

/** What is wrong with a chord while it is typed; null for one that can be stored, or nothing yet. */
export function chordProblem(text: string, key: Key, as: 'symbol' | 'numeral'): string | null {
  const trimmed = text.trim();
  if (trimmed === '' || isNoChord(trimmed)) return null;
  const read = as === 'numeral' ? parseRoman(trimmed, key) : canonicalSymbol(trimmed);
  return read.ok ? null : read.problems[0]!.message;
}

/** The moments of a bar at which a chord can stand, beat by beat, for whoever shows the lane. */
export function beatsOfBar(p: Phrase, onset: Ticks): readonly Ticks[] {
  const bar = barOver(p, onset);
  const beat = beatTicks(bar.bar.meter);
  const moments: Ticks[] = [];
  for (let t = bar.start; t < bar.end; t += beat) moments.push(t);
  return moments;
}

function isChordGiven(x: unknown): x is ChordGiven {
  if (typeof x !== 'object' || x === null) return false;
  const { onset, text } = x as Record<string, unknown>;
  return Number.isInteger(onset) && typeof text === 'string';
}
