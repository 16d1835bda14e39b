import type { Phrase } from '../core/phrase/types';
import { fail, ok, type Result } from '../core/result';
import { decodeAny } from '../io/json';
import { decodeXmlText } from '../io/musicxml/decode-text';
import { isMxl, readMxl } from '../io/musicxml/mxl';
import { formatImportNote, readMusicXml } from '../io/musicxml/read';
import { type FileFormat, stemOf } from './formats';
import type { CliIo } from './io';

/** A file that was read. */
export interface Source {
  readonly path: string;
  /** By what is in it, whatever its ending. */
  readonly format: Exclude<FileFormat, 'txt'>;
  readonly phrases: readonly Phrase[];
  /** Whether the phrases stood in a library. */
  readonly library: boolean;
  /** What of the file is not in the phrases just as it was written; sentences. */
  readonly remarks: readonly string[];
}

/** Most bytes of a file: what a library may have, more than any other. */
export const MOST_BYTES = 128 * 1024 * 1024;

/** Reads a file in any of the formats, told apart by their first characters. */
export async function readSource(io: CliIo, path: string): Promise<Result<Source>> {
  const bytes = await io.files.read(path, MOST_BYTES);
  return bytes.ok ? decodeSource(io, path, bytes.value) : bytes;
}

function decodeSource(io: CliIo, path: string, bytes: Uint8Array): Result<Source> {
  if (isMxl(bytes)) {
    const xml = readMxl(bytes);
    return xml.ok ? fromXml(io, path, xml.value, 'mxl') : xml;
  }
  if (looksLikeXml(bytes)) {
    const xml = decodeXmlText(bytes);
    return xml.ok ? fromXml(io, path, xml.value, 'musicxml') : xml;
  }
  return looksLikeJson(bytes) ? fromJson(path, bytes) : fail(unknownFormat(bytes));
}

/** The first characters that are no space, byte order marks and the zeros of UTF-16 left out. */
function beginningOf(bytes: Uint8Array): string {
  return new TextDecoder('latin1')
    .decode(bytes.subarray(0, 1024))
    .replace(/^(?:\u00ef\u00bb\u00bf|\u00ff\u00fe|\u00fe\u00ff)/u, '')
    .replaceAll('\0', '')
    .trimStart();
}

function looksLikeXml(bytes: Uint8Array): boolean {
  return beginningOf(bytes).startsWith('<');
}

function looksLikeJson(bytes: Uint8Array): boolean {
  return /^[{[]/u.test(beginningOf(bytes));
}

function unknownFormat(bytes: Uint8Array) {
  const start = beginningOf(bytes);
  const what = start === '' ? 'the file is empty' : 'this is neither a phrase nor a MusicXML score';
  const named = start.startsWith('MThd') ? `${what}, it is a MIDI file` : what;
  return { message: named, fix: 'Give a file in one of the formats .json, .musicxml or .mxl.' };
}

function fromJson(path: string, bytes: Uint8Array): Result<Source> {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return fail({ message: 'the file is no text in UTF-8', fix: 'Save it again in UTF-8.' });
  }
  const decoded = decodeAny(text);
  if (!decoded.ok) return decoded;
  const { value } = decoded;
  const library = value.kind === 'library';
  const phrases = value.kind === 'library' ? value.library.phrases : [value.phrase];
  return ok({ path, format: 'json', phrases, library, remarks: [] });
}

function fromXml(
  io: CliIo,
  path: string,
  text: string,
  format: 'musicxml' | 'mxl',
): Result<Source> {
  const read = readMusicXml(text, {
    newId: io.newId,
    now: io.now().toISOString(),
    title: stemOf(path),
  });
  if (!read.ok) return read;
  const { phrase, notes } = read.value;
  return ok({
    path,
    format,
    phrases: [phrase],
    library: false,
    remarks: notes.map(formatImportNote),
  });
}
