import type { Phrase } from '../../core/phrase/types';
import { encodeCompact } from '../json/encode';

/** Characters of a piece, about. */
const PIECE = 256 * 1024;

/**
 * A library file in pieces, without spaces and a phrase in a line: however many phrases there are, no
 * more than one piece is held. The same format as `encodeLibrary` writes.
 * @param onPhrase Told how many have been written, before each.
 */
export function* libraryPieces(
  phrases: Iterable<Phrase>,
  onPhrase: (done: number) => void = () => undefined,
): Generator<string, void> {
  let piece = '{"format":"degreewise-library","version":1,"phrases":[';
  let done = 0;
  for (const phrase of phrases) {
    onPhrase(done);
    piece += `${done === 0 ? '' : ','}\n${encodeCompact(phrase)}`;
    done += 1;
    if (piece.length < PIECE) continue;
    yield piece;
    piece = '';
  }
  yield `${piece}\n]}\n`;
}
