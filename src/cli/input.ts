import type { Problem } from '../core/result';
import {
  type DecodedFile,
  decodeFile,
  isPlainText,
  LARGE,
  LibraryReading,
  mostBytesOf,
  type ReadChoice,
  textOf,
} from '../io/file/decode-file';
import { isLibrary } from '../io/library/read';
import type { CliIo } from './io';
import { joined, tooLarge } from './pieces';

/** A file that was read. */
export interface Source extends DecodedFile {
  readonly path: string;
}

/** A source; or what is wrong, with the text in which problems have a line and a column. */
export type ReadSource =
  | { readonly ok: true; readonly value: Source }
  | { readonly ok: false; readonly problems: readonly Problem[]; readonly text: string | null };

/** Reads a file in any of the formats; of a large library no more is held than a piece and what it is asked for. */
export async function readSource(
  io: CliIo,
  path: string,
  choice: ReadChoice = {},
): Promise<ReadSource> {
  const options = { ...choice, newId: io.newId, now: io.now().toISOString() };
  let held: Uint8Array[] = [];
  let size = 0;
  /** Known once it is large. */
  let most: number | null = null;
  let library: LibraryReading | null = null;
  for await (const piece of io.files.pieces(path)) {
    if (!piece.ok) return { ...piece, text: null };
    if (library !== null) {
      library.take(piece.value);
      if (library.givenUp) break;
      continue;
    }
    held.push(piece.value);
    size += piece.value.length;
    if (size > LARGE && most === null) {
      const beginning = joined(held);
      most = mostBytesOf(beginning);
      if (isLibrary(beginning)) {
        library = new LibraryReading(options);
        library.take(beginning);
        held = [];
      }
    }
    if (library === null && most !== null && size > most) {
      return { ok: false, problems: [tooLarge(most)], text: null };
    }
  }
  const bytes = joined(held);
  const decoded = library?.end() ?? decodeFile(path, bytes, options);
  if (decoded.ok) return { ok: true, value: { path, ...decoded.value } };
  return { ...decoded, text: library === null && isPlainText(path, bytes) ? textOf(bytes) : null };
}
