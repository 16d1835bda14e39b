import { Inflate } from 'fflate';
import { fail, ok, type Problem, type Result } from '../../../core/result';

/** Bounds for archives from outside, so that a small file cannot take memory without limit. */
export interface ZipLimits {
  /** Bytes of the archive. */
  readonly archive: number;
  readonly entries: number;
  /** Bytes of one entry when inflated, declared or real. */
  readonly inflated: number;
  /** Inflated by compressed bytes, for entries of more than a mebibyte. */
  readonly ratio: number;
}

export const ZIP_LIMITS: ZipLimits = {
  archive: 2 ** 25,
  entries: 1_000,
  inflated: 2 ** 25,
  ratio: 300,
};

/** One file of the archive, as its central directory says. */
export interface ZipEntry {
  readonly name: string;
  /** 0 stored, 8 deflated. */
  readonly method: number;
  readonly encrypted: boolean;
  readonly compressed: number;
  readonly size: number;
  readonly crc: number;
  /** Where its local header lies. */
  readonly offset: number;
}

/** Whether the bytes begin like a zip archive (PKWARE APPNOTE 4.3.7, 4.3.16). */
export function isZip(bytes: Uint8Array): boolean {
  return (
    bytes[0] === 0x50 &&
    bytes[1] === 0x4b &&
    ((bytes[2] === 3 && bytes[3] === 4) || (bytes[2] === 5 && bytes[3] === 6))
  );
}

const END_SIGNATURE = 0x06054b50;
const ENTRY_SIGNATURE = 0x02014b50;
const LOCAL_SIGNATURE = 0x04034b50;
const END_LENGTH = 22;
const LONGEST_COMMENT = 0xffff;

const DAMAGED = 'Save or download the file again; it is damaged or was cut short.';

function damaged(what: string): Result<never> {
  return fail({ message: `the archive is broken: ${what}`, fix: DAMAGED });
}

/**
 * Lists the files of a zip archive from its central directory (PKWARE APPNOTE 4.3.12, 4.3.16).
 * Zip64 and archives in parts are refused: no score needs them.
 */
export function listEntries(
  bytes: Uint8Array,
  limits: ZipLimits = ZIP_LIMITS,
): Result<readonly ZipEntry[]> {
  if (bytes.length > limits.archive) {
    return fail({
      message: `the archive has ${bytes.length} bytes, more than the ${limits.archive} that are read`,
      fix: 'Export the score without pictures and sound.',
    });
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = findEnd(view);
  if (end === null) return damaged('it has no table of contents');
  const count = view.getUint16(end + 10, true);
  const start = view.getUint32(end + 16, true);
  if (count === 0xffff || start === 0xffffffff) {
    return fail({ message: 'the archive is a Zip64', fix: 'Pack the score as a plain zip.' });
  }
  if (count > limits.entries) {
    return fail({
      message: `the archive holds ${count} files, more than the ${limits.entries} that are read`,
      fix: 'Export the score alone.',
    });
  }
  const entries: ZipEntry[] = [];
  let at = start;
  for (let i = 0; i < count; i++) {
    if (at + 46 > end || view.getUint32(at, true) !== ENTRY_SIGNATURE) {
      return damaged('its table of contents is cut short');
    }
    const nameLength = view.getUint16(at + 28, true);
    const next =
      at + 46 + nameLength + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    if (next > end) return damaged('its table of contents is cut short');
    entries.push({
      // Names are UTF-8 as in MusicXML's container rules; other bytes become U+FFFD and match nothing.
      name: new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nameLength)),
      encrypted: (view.getUint16(at + 8, true) & 1) === 1,
      method: view.getUint16(at + 10, true),
      crc: view.getUint32(at + 16, true),
      compressed: view.getUint32(at + 20, true),
      size: view.getUint32(at + 24, true),
      offset: view.getUint32(at + 42, true),
    });
    at = next;
  }
  return ok(entries);
}

function findEnd(view: DataView): number | null {
  const last = view.byteLength - END_LENGTH;
  for (let at = last; at >= Math.max(0, last - LONGEST_COMMENT); at--) {
    if (view.getUint32(at, true) === END_SIGNATURE) return at;
  }
  return null;
}

/**
 * The bytes of one entry. The declared size is checked first, and the real one while inflating: not
 * more than a chunk beyond the declared size is ever produced. The checksum must agree.
 */
export function readEntry(
  bytes: Uint8Array,
  entry: ZipEntry,
  limits: ZipLimits = ZIP_LIMITS,
): Result<Uint8Array> {
  const refusal = refuse(entry, limits);
  if (refusal !== null) return fail(refusal);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const { offset } = entry;
  if (offset + 30 > bytes.length || view.getUint32(offset, true) !== LOCAL_SIGNATURE) {
    return damaged(`'${entry.name}' is not where it should be`);
  }
  const start = offset + 30 + view.getUint16(offset + 26, true) + view.getUint16(offset + 28, true);
  const data = bytes.subarray(start, start + entry.compressed);
  if (data.length !== entry.compressed) return damaged(`'${entry.name}' is cut short`);
  const content = entry.method === 0 ? data : inflate(data, entry.size);
  if (content === null || content.length !== entry.size) {
    return damaged(`'${entry.name}' does not have the size it claims`);
  }
  if (crc32(content) !== entry.crc) return damaged(`'${entry.name}' has a wrong checksum`);
  return ok(content);
}

function refuse(entry: ZipEntry, limits: ZipLimits): Problem | null {
  const tooBig =
    entry.size > limits.inflated ||
    (entry.size > 2 ** 20 && entry.size > limits.ratio * Math.max(1, entry.compressed));
  if (entry.encrypted) {
    return { message: `'${entry.name}' is encrypted`, fix: 'Save the score without a password.' };
  }
  if (entry.method !== 0 && entry.method !== 8) {
    return {
      message: `'${entry.name}' is packed by method ${entry.method}, which MusicXML does not use`,
      fix: 'Pack the score as a plain zip (deflate).',
    };
  }
  if (tooBig) {
    return {
      message: `'${entry.name}' unpacks to ${entry.size} bytes from ${entry.compressed}, which no score does`,
      fix: 'Do not open this file unless you know where it comes from.',
    };
  }
  return null;
}

/** Compressed bytes handed to the inflater at once: they give at most about a mebibyte. */
const CHUNK = 1_024;

/** Null where the data is broken or gives more than `size` bytes. */
function inflate(data: Uint8Array, size: number): Uint8Array | null {
  const out = new Uint8Array(size);
  let length = 0;
  let broken = false;
  const inflater = new Inflate((chunk) => {
    if (length + chunk.length > size) broken = true;
    else out.set(chunk, length);
    length += chunk.length;
  });
  try {
    for (let at = 0; at < data.length && !broken; at += CHUNK) {
      inflater.push(data.subarray(at, at + CHUNK), at + CHUNK >= data.length);
    }
  } catch {
    return null;
  }
  return broken ? null : out.subarray(0, length);
}

/** CRC-32 as zip has it (ISO 3309; polynomial EDB88320 reflected). */
export function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = CRC_TABLE[(crc ^ byte) & 0xff]! ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
}

const CRC_TABLE: readonly number[] = Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let bit = 0; bit < 8; bit++) c = (c & 1) === 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
  return c >>> 0;
});
