import type { Phrase } from '../core/phrase/types';
import type { Thing } from '../io/kinds/kind';
import { LibraryWriter, libraryPieces } from '../io/library/write';
import { fileStem, numberedStems, uniqueNames } from './file-names';
import type { Content, Look, Tools } from './format';
import { FORMATS, formatRow, type PublishFormat } from './formats';

/** A file that is ready to be saved. */
export interface OutFile {
  readonly name: string;
  readonly type: string;
  readonly content: Content;
}

/** Takes the pieces of a file one after the other, and puts them away where they take no memory. */
export interface Pieces<P> {
  add(piece: string): void;
  /** Everything that was added, in its order. */
  all(): readonly P[];
}

/** Pieces as they are. */
export function asTexts(): Pieces<string> {
  const all: string[] = [];
  return { add: (piece) => all.push(piece), all: () => all };
}

/** A library that is ready to be saved, in the parts that were made of its pieces. */
export interface LibraryOut<P> {
  readonly name: string;
  readonly type: string;
  readonly parts: readonly P[];
}

/**
 * Writes phrases to a library file that is never held as one text.
 * @param others Things of other kinds that go with them.
 * @throws DOMException `AbortError` when it is stopped.
 */
export async function publishLibrary<P>(
  phrases: Iterable<Phrase> | AsyncIterable<Phrase>,
  pieces: Pieces<P>,
  progress: Progress,
  others: readonly Thing[] = [],
): Promise<LibraryOut<P>> {
  for await (const piece of piecesWithPauses(phrases, others, progress)) pieces.add(piece);
  return { name: 'phrases.json', type: FORMATS.json.type, parts: pieces.all() };
}

/**
 * The same for phrases that were checked where they are kept, as `encodeCompact` writes them: what makes
 * them lets the page answer.
 * @param others JSON of things of other kinds that go with them.
 */
export async function publishTexts<P>(
  texts: AsyncIterable<readonly string[]>,
  pieces: Pieces<P>,
  progress: Progress,
  others: AsyncIterable<readonly string[]> | Iterable<readonly string[]> = [],
): Promise<LibraryOut<P> & { readonly phrases: number }> {
  let phrases = 0;
  const add = (piece: string | null) => piece !== null && pieces.add(piece);
  const writer = new LibraryWriter(progress.onPhrase);
  for await (const some of texts) {
    progress.signal.throwIfAborted();
    for (const text of some) add(writer.phraseText(text));
    phrases += some.length;
  }
  for await (const some of others) {
    progress.signal.throwIfAborted();
    for (const text of some) add(writer.otherText(text));
  }
  add(writer.end());
  return { name: 'phrases.json', type: FORMATS.json.type, parts: pieces.all(), phrases };
}

/** How far it has come; it can be stopped between two phrases. */
export interface Progress {
  readonly onPhrase: (done: number) => void;
  readonly signal: AbortSignal;
}

/**
 * Writes phrases to one file: a phrase of its own, several as a library (JSON), one text, or a zip
 * archive of one file each.
 * @param inOrder Name of the archive, whose files are numbered in their order; where absent they are called by their titles alone.
 * @throws DOMException `AbortError` when it is stopped; `TooManyFiles`.
 */
export async function publish(
  phrases: readonly Phrase[],
  format: PublishFormat,
  look: Look,
  tools: Tools,
  progress: Progress,
  inOrder?: string,
): Promise<OutFile> {
  const [only] = phrases;
  if (only === undefined) throw new RangeError('there is nothing to export');
  const { several, type } = formatRow(format);
  const single = phrases.length === 1;
  const stem = single ? fileStem(only.meta.title) : (inOrder ?? 'phrases');
  const whole = (content: Content) => ({ name: `${stem}.${format}`, type, content });
  if (!single && several === 'library') {
    return whole((await publishLibrary(phrases, asTexts(), progress)).parts.join(''));
  }
  const titles = phrases.map((p) => fileStem(p.meta.title));
  const stems = inOrder === undefined ? titles : numberedStems(titles);
  const named = phrases.map((phrase, i) => ({ stem: stems[i]!, phrase }));
  if (!single && several !== 'text') fitInZip(named.length);
  const written = await writeEach(named, format, look, tools, progress);
  if (single) return whole(written[0]!);
  if (several === 'text') return whole(written.join('\n\n'));
  return packed(named, written, format, stem, progress);
}

/** A phrase and what its file is called, without the ending. */
export interface Named {
  readonly stem: string;
  readonly phrase: Phrase;
}

/**
 * A file for each, in one zip archive.
 * @param stem Name of the archive, without the ending.
 * @throws DOMException `AbortError` when it is stopped; `TooManyFiles`.
 */
export async function publishApart(
  all: readonly Named[],
  stem: string,
  format: PublishFormat,
  look: Look,
  tools: Tools,
  progress: Progress,
): Promise<OutFile> {
  fitInZip(all.length);
  const written = await writeEach(all, format, look, tools, progress);
  return packed(all, written, format, stem, progress);
}

/**
 * Files in an archive at most: PKWARE's APPNOTE 6.3.10, 4.4.22, gives their number two bytes, of which the
 * largest value says that a longer form follows, which not everybody reads.
 */
const MOST_FILES = 65_534;

/** More files than an archive holds. */
export class TooManyFiles extends Error {
  override readonly name = 'TooManyFiles';

  constructor(files: number) {
    super(`a zip archive holds ${MOST_FILES} files at most, and these are ${files}`);
  }
}

function fitInZip(files: number): void {
  if (files > MOST_FILES) throw new TooManyFiles(files);
}

async function writeEach(
  all: readonly Named[],
  format: PublishFormat,
  look: Look,
  tools: Tools,
  progress: Progress,
): Promise<readonly Content[]> {
  const write = await formatRow(format).writer();
  const written: Content[] = [];
  for (const [done, { phrase }] of all.entries()) {
    progress.onPhrase(done);
    await pause();
    progress.signal.throwIfAborted();
    written.push(await write(phrase, look, tools));
  }
  return written;
}

async function packed(
  all: readonly Named[],
  written: readonly Content[],
  format: PublishFormat,
  stem: string,
  progress: Progress,
): Promise<OutFile> {
  const names = uniqueNames(
    all.map((n) => n.stem),
    format,
  );
  return {
    name: `${stem}.zip`,
    type: 'application/zip',
    content: await zip(names, written, progress.signal),
  };
}

/** Milliseconds of writing after which the page gets a chance to answer. */
const SLICE = 12;

/**
 * Phrases as one library file, in pieces, with a pause after each: none of them is long, however
 * many phrases there are.
 * @throws DOMException `AbortError` when it is stopped.
 */
async function* piecesWithPauses(
  phrases: Iterable<Phrase> | AsyncIterable<Phrase>,
  others: readonly Thing[],
  progress: Progress,
): AsyncGenerator<string, void> {
  const writer = new LibraryWriter(progress.onPhrase);
  let end = performance.now() + SLICE;
  const rest = async () => {
    if (performance.now() < end) return;
    await pause();
    progress.signal.throwIfAborted();
    end = performance.now() + SLICE;
  };
  for await (const phrase of phrases) {
    const piece = writer.phrase(phrase);
    if (piece !== null) yield piece;
    await rest();
  }
  for (const { value } of others) {
    const piece = writer.other(value);
    if (piece !== null) yield piece;
    await rest();
  }
  yield writer.end();
}

/** Phrases and what goes with them as one library file in UTF-8: no text is as long as the whole. */
export function libraryBytes(
  phrases: readonly Phrase[],
  others: readonly Thing[] = [],
): Uint8Array<ArrayBuffer> {
  const utf8 = new TextEncoder();
  const values = others.map((t) => t.value);
  return joined([...libraryPieces(phrases, values)].map((piece) => utf8.encode(piece)));
}

/** The same in pieces, for phrases that were checked, as `encodeCompact` writes them; one is asked for when it is its turn. */
export function* libraryOfTexts(
  phrases: Iterable<string>,
  others: Iterable<Thing> = [],
): Generator<Uint8Array<ArrayBuffer>, void> {
  const utf8 = new TextEncoder();
  const writer = new LibraryWriter();
  for (const text of phrases) {
    const piece = writer.phraseText(text);
    if (piece !== null) yield utf8.encode(piece);
  }
  for (const { value } of others) {
    const piece = writer.other(value);
    if (piece !== null) yield utf8.encode(piece);
  }
  yield utf8.encode(writer.end());
}

/**
 * What of these phrases a format does not keep, in words; each once. It looks at some, then lets the
 * page answer.
 * @throws DOMException `AbortError` when it is stopped.
 */
export async function leftOut(
  phrases: readonly Phrase[],
  format: PublishFormat,
  signal?: AbortSignal,
): Promise<readonly string[]> {
  const left = await formatRow(format).left?.();
  if (left === undefined) return [];
  const words = new Set<string>();
  for (const phrase of phrases) {
    for (const word of left(phrase)) words.add(word);
    await pause();
    signal?.throwIfAborted();
  }
  return [...words];
}

/** Packs a file at a time, and lets the page answer in between. */
async function zip(
  names: readonly string[],
  contents: readonly Content[],
  signal: AbortSignal,
): Promise<Uint8Array<ArrayBuffer>> {
  const { strToU8, Zip, ZipDeflate } = await import('fflate');
  const parts: Uint8Array[] = [];
  const archive = new Zip((error, part) => {
    if (error !== null) throw error;
    parts.push(part);
  });
  for (const [i, name] of names.entries()) {
    const content = contents[i]!;
    const file = new ZipDeflate(name);
    archive.add(file);
    file.push(typeof content === 'string' ? strToU8(content) : content, true);
    await pause();
    signal.throwIfAborted();
  }
  archive.end();
  return joined(parts);
}

function joined(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(parts.reduce((sum, p) => sum + p.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

/** Lets the page answer. */
function pause(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve));
}
