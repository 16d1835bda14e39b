import type { Problem } from '../../core/result';
import { canonicalSymbol, isNoChord } from '../../core/theory/chord';

/** Chords as they stand over words (*common practice*): one after the other, or in brackets among the words. */
const AMONG_WORDS = /\[([A-G][^\]\s]{0,11})\]/gu;
/** Bar lines, repeats and strokes between chords. */
const BETWEEN = /^(?:[|:%/.\-–]+|x\d|\(x?\d\)|\d\/\d)$/u;
/** So many lines of chords, and of words, are a sheet. */
const LEAST = 2;
const MOST_LINES = 2_000;

/** What is said of a song's words with chords over them, which hold no notes; null for any other text. */
export function chordSheet(text: string): Problem | null {
  const lines = text.split(/\r?\n/u, MOST_LINES);
  const chords = lines.filter(hasChords).length;
  const words = lines.filter((l) => /(?:\p{L}{2,}\P{L}+){2}\p{L}/u.test(l)).length;
  if (chords < LEAST || words < LEAST) return null;
  return {
    message: 'these are words with chords and no notes',
    fix: 'Give the notes as tablature, quick text or a score. The chords can be typed as those of a new phrase or of a form, for example C | F | G7.',
    line: 1 + lines.findIndex(hasChords),
    column: 1,
  };
}

function hasChords(line: string): boolean {
  const among = [...line.matchAll(AMONG_WORDS)];
  if (among.length > 0) return among.every(([, name]) => isChord(name!));
  const words = line.split(/\s+/u).filter((w) => w !== '' && !BETWEEN.test(w));
  return words.length > 0 && words.every(isChord);
}

function isChord(word: string): boolean {
  return isNoChord(word) || canonicalSymbol(word.replace(/^\((.*)\)$/u, '$1')).ok;
}
