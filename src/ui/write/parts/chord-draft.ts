import { chordPair, chordProblem } from '../../../core/edit/commands/harmony';
import type { ChordChange, ChordSymbol } from '../../../core/phrase/types';
import { canonicalSymbol, formatChord, isNoChord } from '../../../core/theory/chord';
import type { Key } from '../../../core/theory/key';
import { parseRoman } from '../../../core/theory/roman';

/** The two ways in which a chord is typed. */
export type ChordField = 'symbol' | 'numeral';

/** What somebody is typing and is not yet in the phrase. */
export interface ChordDraft {
  readonly as: ChordField;
  readonly text: string;
}

/** What the two fields of a chord show, and what there is to say about them. */
export interface ChordFields {
  readonly symbol: string;
  readonly numeral: string;
  /** What is wrong with the field that is typed into; null where it can be stored. */
  readonly problem: string | null;
}

/**
 * The two fields of a chord in step: the one that is typed into as it is typed, the other as it
 * follows from it; empty where nothing follows.
 * @param stored The chord in the phrase; null for one that is being added.
 */
export function chordFields(
  stored: ChordChange | null,
  draft: ChordDraft | null,
  key: Key,
): ChordFields {
  if (draft === null) {
    if (stored === null) return { symbol: '', numeral: '', problem: null };
    const { symbol, numeral } = chordPair(stored.symbol, key);
    return { symbol, numeral, problem: null };
  }
  const meant = meantBy(draft, key);
  const pair = meant === null ? { symbol: '', numeral: '' } : chordPair(meant.symbol, key);
  return {
    symbol: draft.as === 'symbol' ? draft.text : pair.symbol,
    numeral: draft.as === 'numeral' ? draft.text : pair.numeral,
    problem: chordProblem(draft.text, key, draft.as),
  };
}

/** The text to store for a draft: a symbol, `N.C.`, or nothing; null for what is no chord. */
export function textToStore(draft: ChordDraft, key: Key): string | null {
  if (draft.text.trim() === '') return '';
  const meant = meantBy(draft, key);
  return meant === null ? null : (meant.symbol ?? 'N.C.');
}

/** The chord of a draft, its symbol null for N.C.; null where nothing can be read. */
function meantBy(
  { as, text }: ChordDraft,
  key: Key,
): { readonly symbol: ChordSymbol | null } | null {
  if (isNoChord(text)) return { symbol: null };
  if (as === 'symbol') {
    const read = canonicalSymbol(text.trim());
    return read.ok ? { symbol: read.value } : null;
  }
  const read = parseRoman(text.trim(), key);
  return read.ok ? { symbol: formatChord(read.value) } : null;
}
