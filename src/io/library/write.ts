import type { Phrase } from '../../core/phrase/types';
import { encodeCompact } from '../json/encode';

/** Characters of a piece, about. */
const PIECE = 64 * 1024;

/**
 * A library file in pieces, without spaces and an entry in a line: however many entries there are, no
 * more than one piece is held. The same format as `encodeLibrary` writes.
 * @param others Things of other kinds, as their kinds read them.
 * @param onEntry Told how many have been written, before each.
 */
export function* libraryPieces(
  phrases: Iterable<Phrase>,
  others: Iterable<unknown> = [],
  onEntry: (done: number) => void = () => undefined,
): Generator<string, void> {
  let piece = '{"format":"degreewise-library","version":2,"phrases":[';
  let done = 0;
  let first = true;
  for (const phrase of phrases) {
    onEntry(done++);
    piece += `${first ? '' : ','}\n${encodeCompact(phrase)}`;
    first = false;
    if (piece.length < PIECE) continue;
    yield piece;
    piece = '';
  }
  piece += '\n]';
  first = true;
  for (const other of others) {
    onEntry(done++);
    piece += `${first ? ',"others":[' : ','}\n${JSON.stringify(other)}`;
    first = false;
    if (piece.length < PIECE) continue;
    yield piece;
    piece = '';
  }
  yield `${piece}${first ? '' : '\n]'}}\n`;
}
