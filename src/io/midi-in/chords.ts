import type { ChordChange, Ticks } from '../../core/phrase/types';
import { canonicalSymbol, isNoChord } from '../../core/theory/chord';
import { GRID } from '../../core/validity/rhythm';
import type { ImportLog } from '../musicxml/read/log';
import type { Song } from './song';

/**
 * The lane from the markers of a file, where they are chord symbols. Letters alone that begin with A and go
 * on in order are the names of sections (common practice).
 */
export function chordsOf(song: Song, length: Ticks, log: ImportLog): readonly ChordChange[] {
  const read = song.markers.map((m) => ({ ...m, symbol: symbolOf(m.text) }));
  const chords = read.filter((m) => m.symbol !== undefined);
  const sections =
    chords.every((m) => /^[A-H]$/u.test(m.text)) && inOrder(chords.map((m) => m.text));
  if (chords.length === 0 || chords.length < read.length / 2 || sections) {
    if (read.length > 0) log.add('dropped', `markers are not kept: '${read[0]!.text}'`);
    return [];
  }
  const out: ChordChange[] = [];
  for (const { at, symbol, text } of read) {
    const onset = Math.round(at / GRID) * GRID;
    if (symbol === undefined) {
      log.add('dropped', `the marker '${text}' is no chord symbol`, { onset });
      continue;
    }
    if (onset >= length) continue;
    if (out.at(-1)?.onset === onset) out.pop();
    out.push({ onset, symbol });
  }
  return out;
}

/** A symbol, null for N.C., undefined for neither. */
function symbolOf(text: string): ChordChange['symbol'] | undefined {
  if (isNoChord(text)) return null;
  const read = canonicalSymbol(text);
  return read.ok ? read.value : undefined;
}

function inOrder(letters: readonly string[]): boolean {
  const names = [...new Set(letters)];
  return names.every((n, i) => n.charCodeAt(0) === 65 + i);
}
