import type { Result } from '../core/result';
import { type DecodedFile, decodeFile, MOST_BYTES } from '../io/file/decode-file';
import type { CliIo } from './io';

/** A file that was read. */
export interface Source extends DecodedFile {
  readonly path: string;
}

/** Reads a file in any of the formats. */
export async function readSource(io: CliIo, path: string): Promise<Result<Source>> {
  const bytes = await io.files.read(path, MOST_BYTES);
  if (!bytes.ok) return bytes;
  const now = io.now().toISOString();
  const decoded = decodeFile(path, bytes.value, { newId: io.newId, now });
  return decoded.ok ? { ok: true, value: { path, ...decoded.value } } : decoded;
}
