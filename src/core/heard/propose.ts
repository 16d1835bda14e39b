import { chordTones, formatChord } from '../theory/chord';
import type { ChordSymbol } from '../theory/chord-model';
import { degreeSemitones } from '../theory/degree';
import type { Key } from '../theory/key';
import { chromaOf, mod } from '../theory/pitch';
import { parseRoman } from '../theory/roman';

/** A pitch that sounded, for how long, and whether it began or ended the phrase. */
export interface Sounded {
  readonly midi: number;
  readonly seconds: number;
}

/** Chords that are looked for in a key, the usual ones first (common practice). */
const NUMERALS: Readonly<Record<Key['mode'], readonly string[]>> = {
  blues: ['I7', 'IV7', 'V7', 'ii7', 'VI7'],
  major: ['I', 'IV', 'V7', 'vi7', 'ii7', 'iii7', 'Imaj7', 'IVmaj7', 'I7', 'IV7'],
  minor: ['i7', 'iv7', 'V7', 'VII7', 'VImaj7', 'IIImaj7', 'i', 'v7'],
};

export interface ProposedChord {
  readonly symbol: ChordSymbol;
  /** 0 to 1 of all that sounds. */
  readonly share: number;
}

/** The first and the last note say more of a chord than those between. */
const ENDS = 0.5;

/**
 * Chords of the key over which a phrase may have been played, the likeliest first: those whose tones sound
 * longest, root and third before the others.
 * @param count How many at most.
 */
export function proposeChords(
  notes: readonly Sounded[],
  key: Key,
  count = 3,
): readonly ProposedChord[] {
  if (notes.length === 0) return [];
  const weights = Array<number>(12).fill(0);
  let total = 0;
  notes.forEach((n, i) => {
    const ends = i === 0 || i === notes.length - 1 ? 1 + ENDS : 1;
    const weight = Math.min(1, n.seconds) * ends;
    weights[mod(n.midi, 12)]! += weight;
    total += weight;
  });
  const found = NUMERALS[key.mode].flatMap((numeral, order) => {
    const read = parseRoman(numeral, key);
    if (!read.ok) return [];
    const chord = read.value;
    const root = chromaOf(chord.root);
    const tones = chordTones(chord).map((d) => weights[mod(root + degreeSemitones(d), 12)]!);
    const share = tones.reduce((a, b) => a + b, 0) / total;
    const [first = 0, third = 0] = tones;
    return [
      {
        symbol: formatChord(chord),
        share,
        score: share + (0.25 * (first + third)) / total - 0.01 * order,
      },
    ];
  });
  return found
    .sort((a, b) => b.score - a.score)
    .slice(0, count)
    .map(({ symbol, share }) => ({ symbol, share }));
}
