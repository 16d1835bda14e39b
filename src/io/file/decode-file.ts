import { ownFormsIn } from '../../core/lesson/own-forms';
import type { Lesson } from '../../core/lesson/types';
import type { Phrase } from '../../core/phrase/types';
import { fail, ok, type Problem, type Result } from '../../core/result';
import { FILE_KINDS } from '../kinds/file-kinds';
import type { AnyKind, Thing } from '../kinds/kind';
import { FORMS, LESSONS } from '../kinds/kinds';
import '../kinds/checks-at-hand';
import { type Decoded, decodeAny, othersOf } from '../library/decode';
import type { Taking } from '../library/entries';
import { isLibrary, LibraryReader } from '../library/read';
import { readMidi } from '../midi-in/read-midi';
import { isMxl, unpackMxl } from '../musicxml/package/mxl';
import { formatImportNote, readMusicXml } from '../musicxml/read/read-musicxml';
import { decodeXmlText } from '../musicxml/xml/decode-text';
import { readPasted } from '../quick/pasted';
import { withCutQuotations } from '../quotation';
import { withoutNotes } from './foreign';
import { type FileFormat, mayBePlainText, stemOf } from './formats';
import { MOST_BYTES, tooLarge } from './most-bytes';

/** What a file held. */
export interface DecodedFile {
  readonly format: FileFormat;
  readonly phrases: readonly Phrase[];
  /** Forms, lessons and other things that are no phrases; absent where there are none. */
  readonly others?: readonly Thing[];
  /** Whether the phrases stood in a library. */
  readonly library: boolean;
  /** What of the file is not in the phrases just as it was written; sentences. */
  readonly remarks: readonly string[];
}

/** What reading a score takes from outside. */
export interface DecodeFileOptions {
  /** Makes the ids of phrases and notes that bring none. */
  readonly newId: () => string;
  /** ISO 8601 in UTC; when the phrase is made, where the file does not say. */
  readonly now: string;
  /** Of a score or a MIDI file: the part to read, from 1; the first with pitches when absent. */
  readonly part?: number;
  /** Of a score: the staff of that part to read, from 1 at the top; all together when absent. Of a MIDI file 1 is what lies from middle C up, 2 what is below. */
  readonly staff?: number;
  /** Of a score or a MIDI file: octaves by which it is read higher, negative for lower. */
  readonly octave?: number;
  /** What a library can hold; usually all that this program knows. */
  readonly kinds?: readonly AnyKind[];
  /** Takes the phrases of a large library in place of `DecodedFile.phrases`, also of one in which something is wrong further on. */
  readonly taking?: Taking;
}

/** What of a file is read. */
export type ReadChoice = Pick<DecodeFileOptions, 'part' | 'staff' | 'octave' | 'taking'>;

/** Most bytes of any file: what a computer takes into memory in one piece. */
const MOST_LIBRARY_BYTES = 2 ** 31 - 1;

/** Most bytes that are read of a file that begins so. */
export function mostBytesOf(beginning: Uint8Array): number {
  return isLibrary(beginning) ? MOST_LIBRARY_BYTES : MOST_BYTES;
}

/** A library of more bytes is read in pieces. */
export const LARGE = 4 * 1024 * 1024;
/** Bytes of a piece. */
const PIECE = 4 * 1024 * 1024;

/**
 * Reads a file in any of the formats. JSON, MusicXML and .mxl are told apart by their first
 * characters, whatever the name; what is none of them is quick text or tablature where the name
 * allows it (`mayBePlainText`).
 * @param name Of the file, with or without folders; a score without a title is called by it.
 */
export function decodeFile(
  name: string,
  bytes: Uint8Array,
  options: DecodeFileOptions,
): Result<DecodedFile> {
  if (bytes.length > LARGE && isLibrary(bytes)) return fromLibrary(bytes, options);
  if (bytes.length > MOST_BYTES) return fail(tooLarge(bytes.length));
  const read = decodeBytes(name, bytes, options);
  return read.ok ? read : fail(...read.problems.map(withCutQuotations));
}

function decodeBytes(
  name: string,
  bytes: Uint8Array,
  options: DecodeFileOptions,
): Result<DecodedFile> {
  if (isMxl(bytes)) {
    return fromMxl(name, bytes, options);
  }
  if (isMidi(bytes)) return fromMidi(name, bytes, options);
  const foreign = withoutNotes(bytes);
  if (foreign !== null) return fail(foreign);
  if (isPage(bytes)) return fromPage(bytes);
  if (looksLikeXml(bytes)) {
    const xml = decodeXmlText(bytes);
    return xml.ok ? fromXml(name, xml.value, 'musicxml', options) : xml;
  }
  if (isPlainText(name, bytes)) return fromText(name, bytes, options);
  return looksLikeJson(bytes) ? fromJson(bytes, options) : fail(unknownFormat(bytes));
}

/** Whether a file is read as quick text or tablature. */
export function isPlainText(name: string, bytes: Uint8Array): boolean {
  const start = beginningOf(bytes);
  // A phrase in quick text may begin with a chord in braces or a head in brackets.
  const json = /^(?:\{\s*["}]|\{$|\[\s*\{)/u.test(start);
  const other = start === '' || start.startsWith('<') || isMidi(bytes) || isMxl(bytes);
  return mayBePlainText(name) && !json && !other;
}

/** The first characters that are no space, byte order marks and the zeros of UTF-16 left out. */
function beginningOf(bytes: Uint8Array): string {
  return new TextDecoder('latin1')
    .decode(bytes.subarray(0, 1024))
    .replace(/^(?:\u00ef\u00bb\u00bf|\u00ff\u00fe|\u00fe\u00ff)/u, '')
    .replaceAll('\0', '')
    .trimStart();
}

/** `MThd` begins every Standard MIDI File. */
function isMidi(bytes: Uint8Array): boolean {
  return bytes[0] === 0x4d && bytes[1] === 0x54 && bytes[2] === 0x68 && bytes[3] === 0x64;
}

function fromMidi(
  name: string,
  bytes: Uint8Array,
  options: DecodeFileOptions,
): Result<DecodedFile> {
  const read = readMidi(bytes, { ...options, title: stemOf(name) });
  if (!read.ok) return read;
  const { phrase, notes } = read.value;
  const remarks = notes.map(formatImportNote);
  return ok({ format: 'mid', phrases: [phrase], library: false, remarks });
}

/** A page for a browser, as a lesson is written. */
function isPage(bytes: Uint8Array): boolean {
  return /^<!doctype html/iu.test(beginningOf(bytes));
}

/** The lesson of a page, by its data; or that the page holds none, or not all of it. */
function fromPage(bytes: Uint8Array): Result<DecodedFile> {
  const text = textOf(bytes) ?? '';
  const data = LESSON_DATA.exec(text)?.[1];
  if (data !== undefined) return fromLesson(data);
  if (text.includes('id="degreewise-lesson"')) {
    return fail({
      message: 'the page of the lesson is not whole',
      fix: 'Fetch or save it again; it was cut short or changed.',
    });
  }
  return fail({
    message: 'the page holds no lesson',
    fix: 'Choose a page that a lesson was saved as.',
    foreign: true,
  });
}

/** What `publish/lesson` puts the lesson into; the data hold no `<`. */
const LESSON_DATA = /<script type="application\/json" id="degreewise-lesson">([^<]*)<\/script>/u;

/** The lesson, and its phrases and forms for the library. */
function fromLesson(data: string): Result<DecodedFile> {
  const read = LESSONS.decode(data);
  if (!read.ok) return read;
  const { phrases } = read.value;
  const others = withItsForms(read.value);
  return ok({ format: 'json', phrases, others, library: true, remarks: [] });
}

/** A lesson that stands for itself, and the forms that it shows. */
function withItsForms(lesson: Lesson): readonly Thing[] {
  // Kinds whose methods are not called with anything but what is of them.
  const [lessons, forms] = [LESSONS, FORMS] as unknown as readonly [AnyKind, AnyKind];
  return [
    { kind: lessons, value: lesson },
    ...ownFormsIn(lesson).map((value) => ({ kind: forms, value })),
  ];
}

function looksLikeXml(bytes: Uint8Array): boolean {
  return beginningOf(bytes).startsWith('<');
}

/** Quick text may begin with a bracket too: the head of a phrase, or a chord. */
function looksLikeJson(bytes: Uint8Array): boolean {
  return /^[{[]/u.test(beginningOf(bytes)) && !/^[[{]\s*[A-G]/u.test(beginningOf(bytes));
}

/** How quick text begins, its head or a chord; or a line of tablature with its strokes, somewhere near the beginning. */
const TYPED = /^[[{]\s*[A-G]|^[A-Ga-g][#b]?\s*\|[-\d]{2}/mu;

function unknownFormat(bytes: Uint8Array): Problem {
  const start = beginningOf(bytes);
  const what =
    start === ''
      ? 'the file is empty'
      : 'this is neither a phrase nor a MusicXML score or MIDI file';
  if (TYPED.test(start)) {
    return {
      message: what,
      foreign: true,
      fix: 'Quick text and tablature are read from files that end in .quick or .txt: give it such a name.',
    };
  }
  return {
    message: what,
    foreign: true,
    fix: 'Give a file in one of the formats .json, .musicxml, .mxl or .mid, or quick text in a file that ends in .quick or .txt.',
  };
}

/** The text of a file in UTF-8, without a byte order mark; null where it is none. */
export function textOf(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}

/** Text has no title of its own, and its file has a name; the standard input has none. */
function called(phrase: Phrase, name: string): Phrase {
  const { meta } = phrase;
  const title = stemOf(name);
  if (meta.title !== '' || name === '-') return phrase;
  return { ...phrase, meta: { ...meta, title } };
}

const NO_TEXT: Problem = {
  message: 'the file is no text in UTF-8',
  fix: 'Save it again in UTF-8.',
};

function fromText(
  name: string,
  bytes: Uint8Array,
  options: DecodeFileOptions,
): Result<DecodedFile> {
  const text = textOf(bytes);
  if (text === null) return fail(NO_TEXT);
  const read = readPasted(text, { id: options.newId(), now: options.now });
  if (!read.ok) return read;
  const { kind, phrase, ignored } = read.value;
  // Our own text says them.
  const isGuess = kind === 'text tab' && phrase.voices[0].events.some((e) => e.guessed);
  const guessed = isGuess ? ['the lengths are guessed from the spacing'] : [];
  return ok({
    format: kind === 'quick' ? 'quick' : 'txt',
    phrases: [called(phrase, name)],
    library: false,
    remarks: [...guessed, ...ignored.map((what) => `not kept: ${what}`)],
  });
}

function fromJson(
  bytes: Uint8Array,
  { kinds = FILE_KINDS }: DecodeFileOptions,
): Result<DecodedFile> {
  const text = textOf(bytes);
  if (text === null) return fail(NO_TEXT);
  const decoded = decodeAny(text, kinds);
  if (!decoded.ok) return decoded;
  const { value } = decoded;
  const file = { format: 'json', library: value.kind === 'library', remarks: [] } as const;
  switch (value.kind) {
    case 'phrase':
      return ok({ ...file, phrases: [value.phrase] });
    case 'other':
      return ok({ ...file, phrases: [], others: othersWith(value) });
    case 'library': {
      const others = othersOf(value.library, kinds);
      return ok({ ...file, phrases: value.library.phrases, ...(others.length > 0 && { others }) });
    }
  }
}

function othersWith({ thing, carried }: Extract<Decoded, { kind: 'other' }>): readonly Thing[] {
  // What this kind has read is a lesson.
  if (thing.kind.name === LESSONS.name && !carried) return withItsForms(thing.value as Lesson);
  return [thing];
}

function fromMxl(name: string, bytes: Uint8Array, options: DecodeFileOptions): Result<DecodedFile> {
  const unpacked = unpackMxl(bytes);
  if (!unpacked.ok) return unpacked;
  const { text, name: inner, remark } = unpacked.value;
  const read = fromXml(name, text, 'mxl', options);
  if (!read.ok) {
    return fail(...read.problems.map((p) => ({ ...p, message: `in '${inner}', ${p.message}` })));
  }
  return remark === null ? read : ok({ ...read.value, remarks: [remark, ...read.value.remarks] });
}

function fromLibrary(bytes: Uint8Array, options: DecodeFileOptions): Result<DecodedFile> {
  const reading = new LibraryReading(options);
  for (let at = 0; at < bytes.length && !reading.givenUp; at += PIECE) {
    reading.take(bytes.subarray(at, at + PIECE));
  }
  return reading.end();
}

/** A library that is read as it comes: `take` its pieces in order, then `end`. */
export class LibraryReading {
  private readonly reader: LibraryReader;
  private readonly phrases: Phrase[] = [];
  private readonly others: Thing[] = [];
  private readonly takePhrase: (phrase: Phrase) => void;

  constructor({ kinds = FILE_KINDS, taking }: DecodeFileOptions) {
    this.reader = new LibraryReader(kinds, null, taking?.known);
    this.takePhrase = taking?.take ?? ((p) => void this.phrases.push(p));
  }

  /** Whether reading on is of no use. */
  get givenUp(): boolean {
    return this.reader.givenUp;
  }

  take(bytes: Uint8Array): void {
    for (const { list, kind, value } of this.reader.take(bytes)) {
      // What the list of phrases holds was read as phrases.
      if (list === 'phrases') this.takePhrase(value as Phrase);
      else this.others.push({ kind, value });
    }
  }

  end(): Result<DecodedFile> {
    const end = this.reader.end();
    if (!end.ok) return end;
    const { phrases, others } = this;
    const file = { format: 'json', phrases, library: true, remarks: [] } as const;
    return ok(others.length === 0 ? file : { ...file, others });
  }
}

function fromXml(
  name: string,
  text: string,
  format: 'musicxml' | 'mxl',
  options: DecodeFileOptions,
): Result<DecodedFile> {
  const read = readMusicXml(text, { ...options, title: stemOf(name) });
  if (!read.ok) return read;
  const { phrase, notes } = read.value;
  return ok({ format, phrases: [phrase], library: false, remarks: notes.map(formatImportNote) });
}
