import type { ChordSymbol } from '../../../core/phrase/types';
import { formatChord } from '../../../core/theory/chord';
import type { Key } from '../../../core/theory/key';
import { parseChordOrRoman } from '../../../core/theory/roman';
import type { TabBlock } from './lines';

/** What stands in the lines above a block, read once for all its bars. */
export interface BlockSigns {
  /** Whether a palm mute is written over a column: `P.M.` or `PM`, with dashes as far as it goes. */
  readonly isMuted: (column: number) => boolean;
  /** Chord names before a column that were not given out. */
  readonly chordsIn: (to: number) => readonly ChordOver[];
}

interface ChordOver {
  readonly column: number;
  readonly symbol: ChordSymbol;
}

/** The row of chords in a text of our own. */
const OWN_CHORDS = /^\s*chord /u;

/** The chords and palm mutes in the lines over a block of tablature, by column. */
export function signsOver(block: TabBlock, key: Key): BlockSigns {
  const muted = new Set<number>();
  for (const text of [...block.above.map((a) => a.text), block.under]) {
    for (const m of text.matchAll(/P\.?M\.?[-\s.]*[|-]?/gu)) {
      const end = m.index + m[0].trimEnd().length;
      for (let column = m.index; column < end; column++) muted.add(column);
    }
  }
  const own = block.above.find((a) => OWN_CHORDS.test(a.text))?.text;
  const row = own?.replace('chord', '     ') ?? block.above.at(-1)?.text ?? '';
  const chords = chordsOver(row, key);
  let next = 0;
  return {
    isMuted: (column) => muted.has(column),
    // Bars are asked for from left to right; a name over the names of the strings is the first bar's.
    chordsIn: (to) => {
      const first = next;
      let end = first;
      while (end < chords.length && chords[end]!.column < to) end++;
      next = end;
      return chords.slice(first, end);
    },
  };
}

/** The names in a line of chords; none where something else stands on it. */
function chordsOver(text: string, key: Key): readonly ChordOver[] {
  const found: ChordOver[] = [];
  for (const word of text.matchAll(/\S+/gu)) {
    const chord = parseChordOrRoman(word[0], key);
    if (!chord.ok) return [];
    found.push({ column: word.index, symbol: formatChord(chord.value) });
  }
  return found;
}
