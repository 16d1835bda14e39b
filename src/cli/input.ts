import type { Problem } from '../core/result';
import {
  type DecodedFile,
  decodeFile,
  isPlainText,
  mostBytesOf,
  type ReadChoice,
  textOf,
} from '../io/file/decode-file';
import type { CliIo } from './io';

/** A file that was read. */
export interface Source extends DecodedFile {
  readonly path: string;
}

/** A source; or what is wrong, with the text in which problems have a line and a column. */
export type ReadSource =
  | { readonly ok: true; readonly value: Source }
  | { readonly ok: false; readonly problems: readonly Problem[]; readonly text: string | null };

/** Reads a file in any of the formats. */
export async function readSource(
  io: CliIo,
  path: string,
  choice: ReadChoice = {},
): Promise<ReadSource> {
  const bytes = await io.files.read(path, mostBytesOf);
  if (!bytes.ok) return { ...bytes, text: null };
  const now = io.now().toISOString();
  const decoded = decodeFile(path, bytes.value, { ...choice, newId: io.newId, now });
  if (decoded.ok) return { ok: true, value: { path, ...decoded.value } };
  return { ...decoded, text: isPlainText(path, bytes.value) ? textOf(bytes.value) : null };
}
