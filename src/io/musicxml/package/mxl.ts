import { strToU8, zipSync } from 'fflate';
import { fail, ok, type Result } from '../../../core/result';
import { decodeXmlText } from '../xml/decode-text';
import { el, formatXml } from '../xml/format';
import { child, childrenOf, parseXml } from '../xml/parse';
import {
  isZip,
  listEntries,
  readEntry,
  ZIP_LIMITS,
  type ZipEntry,
  type ZipLimits,
} from './zip-entries';

/** First bytes of the archive, stored as they are (MusicXML 4.0, compressed .mxl files). */
const MIMETYPE = 'application/vnd.recordare.musicxml';
const MEDIA_TYPE = 'application/vnd.recordare.musicxml+xml';
const CONTAINER = 'META-INF/container.xml';
const SCORE = 'score.musicxml';

/** Midday on the first day a zip can name, in local time: the same bytes everywhere, without a clock. */
const MTIME = '1980-01-01T12:00:00';

/**
 * Packs a MusicXML text as `.mxl`: `mimetype` first and stored, then the container, then the score.
 * The same text gives the same bytes.
 */
export function writeMxl(xml: string): Uint8Array {
  const container = el(
    'container',
    {},
    el('rootfiles', {}, el('rootfile', { 'full-path': SCORE, 'media-type': MEDIA_TYPE })),
  );
  const prologue = '<?xml version="1.0" encoding="UTF-8"?>\n';
  return zipSync(
    {
      mimetype: [strToU8(MIMETYPE), { level: 0 }],
      [CONTAINER]: strToU8(prologue + formatXml(container)),
      [SCORE]: strToU8(xml),
    },
    { level: 6, mtime: MTIME },
  );
}

/** Whether the bytes are a packed score rather than text. */
export function isMxl(bytes: Uint8Array): boolean {
  return isZip(bytes);
}

/** A score that was unpacked. */
export interface Unpacked {
  /** Its XML. */
  readonly text: string;
  /** Of the file inside the archive. */
  readonly name: string;
  /** What is wrong with the archive although the score was found; a sentence without a full stop. */
  readonly remark: string | null;
}

/** The text of the score in an `.mxl` file (`unpackMxl`). */
export function readMxl(bytes: Uint8Array, limits: ZipLimits = ZIP_LIMITS): Result<string> {
  const read = unpackMxl(bytes, limits);
  return read.ok ? ok(read.value.text) : read;
}

/**
 * Unpacks the score of an `.mxl` file: the root file that `META-INF/container.xml` names; where that
 * is broken, the one score that lies in the archive. Nothing else is unpacked, nothing is written,
 * and sizes are bounded (`ZIP_LIMITS`).
 * @returns the XML text, or what is wrong with the archive.
 */
export function unpackMxl(bytes: Uint8Array, limits: ZipLimits = ZIP_LIMITS): Result<Unpacked> {
  if (!isZip(bytes)) {
    return fail({
      message: 'this is no .mxl file: it does not begin like a zip archive',
      fix: 'Choose a compressed MusicXML file, or give the file its right ending.',
    });
  }
  const entries = listEntries(bytes, limits);
  if (!entries.ok) return entries;
  const named = namedScore(bytes, entries.value, limits);
  if (named.ok) return named;
  const scores = entries.value.filter((e) => isScoreName(e.name));
  const [only] = scores;
  if (only === undefined) return named;
  if (scores.length > 1) {
    const [first, ...more] = named.problems;
    const list = scores.slice(0, MOST_NAMED).map((e) => `'${e.name}'`);
    const fix = `Unpack the archive and open the score that you mean: ${list.join(', ')}.`;
    return fail({ ...first!, fix }, ...more);
  }
  const text = readText(bytes, entries.value, only.name, limits);
  if (text === null || !text.ok) return named;
  const remark = `${named.problems[0]!.message}; '${only.name}', the only score in it, is read`;
  return ok({ text: text.value, name: only.name, remark });
}

/** Most scores of an archive that a refusal lists. */
const MOST_NAMED = 6;

/** The score that the container names. */
function namedScore(
  bytes: Uint8Array,
  entries: readonly ZipEntry[],
  limits: ZipLimits,
): Result<Unpacked> {
  const path = rootPath(bytes, entries, limits);
  if (!path.ok) return path;
  const text = readText(bytes, entries, path.value, limits);
  if (text === null) {
    return fail({
      message: `the archive does not hold '${path.value}', which its container names`,
      fix: 'Export the score again as .mxl or .musicxml.',
    });
  }
  return text.ok ? ok({ text: text.value, name: path.value, remark: null }) : text;
}

/** Whether a file in an archive looks like a score; what systems leave beside files does not. */
function isScoreName(name: string): boolean {
  return (
    isPlainPath(name) &&
    /\.(?:musicxml|xml)$/iu.test(name) &&
    !/(?:^|\/)(?:META-INF|__MACOSX)\/|(?:^|\/)\./iu.test(name)
  );
}

/** The text of an entry; null where there is none of that name. */
function readText(
  bytes: Uint8Array,
  entries: readonly ZipEntry[],
  name: string,
  limits: ZipLimits,
): Result<string> | null {
  const entry = entries.find((e) => e.name === name);
  if (entry === undefined) return null;
  const content = readEntry(bytes, entry, limits);
  return content.ok ? decodeXmlText(content.value) : content;
}

function rootPath(
  bytes: Uint8Array,
  entries: readonly ZipEntry[],
  limits: ZipLimits,
): Result<string> {
  const text = readText(bytes, entries, CONTAINER, limits);
  if (text === null) {
    return fail({
      message: `the archive has no ${CONTAINER}, so it is no compressed MusicXML`,
      fix: 'Export the score again as .mxl or .musicxml.',
    });
  }
  if (!text.ok) return text;
  const container = parseXml(text.value);
  if (!container.ok) {
    return fail(
      ...container.problems.map((p) => ({ ...p, message: `${CONTAINER}: ${p.message}` })),
    );
  }
  const rootfiles = child(container.value, 'rootfiles');
  const files = rootfiles === undefined ? [] : childrenOf(rootfiles, 'rootfile');
  // The first root file is the score; where no media type is given, MusicXML is assumed.
  const isScore = (type: string | undefined) => type === undefined || type === MEDIA_TYPE;
  const root = files.find((f) => isScore(f.attributes.get('media-type'))) ?? files[0];
  const path = root?.attributes.get('full-path');
  if (path === undefined || !isPlainPath(path)) {
    return fail({
      message:
        path === undefined
          ? `${CONTAINER} names no root file`
          : `${CONTAINER} names the root file '${path}', which is no path inside the archive`,
      fix: 'Export the score again as .mxl or .musicxml.',
    });
  }
  return ok(path);
}

/** A relative path with forward slashes that stays inside the archive. */
function isPlainPath(path: string): boolean {
  return (
    path !== '' &&
    !/[\\:\0]/u.test(path) &&
    path.split('/').every((part) => part !== '' && part !== '.' && part !== '..')
  );
}
