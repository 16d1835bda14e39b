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
  const writer = new LibraryWriter(onEntry);
  for (const phrase of phrases) {
    const piece = writer.phrase(phrase);
    if (piece !== null) yield piece;
  }
  for (const other of others) {
    const piece = writer.other(other);
    if (piece !== null) yield piece;
  }
  yield writer.end();
}

/** The same for phrases that come one after the other: all of them, then what is of other kinds. */
export class LibraryWriter {
  private piece = '{"format":"degreewise-library","version":2,"phrases":[';
  private done = 0;
  private first = true;
  private phrases = true;

  constructor(private readonly onEntry: (done: number) => void = () => undefined) {}

  /** @returns a piece, once it is full. */
  phrase(phrase: Phrase): string | null {
    return this.phraseText(encodeCompact(phrase));
  }

  /** @param text Of a phrase that was checked, in the form in which `encodeCompact` writes it. */
  phraseText(text: string): string | null {
    if (!this.phrases) throw new RangeError('phrases come before other things');
    this.onEntry(this.done++);
    return this.add(`${this.first ? '' : ','}\n${text}`);
  }

  other(other: unknown): string | null {
    return this.otherText(JSON.stringify(other));
  }

  /** @param text Of a thing that was checked, as `JSON.stringify` writes it. */
  otherText(text: string): string | null {
    this.endPhrases();
    this.onEntry(this.done++);
    return this.add(`${this.first ? ',"others":[' : ','}\n${text}`);
  }

  end(): string {
    this.endPhrases();
    return `${this.piece}${this.first ? '' : '\n]'}}\n`;
  }

  private endPhrases(): void {
    if (!this.phrases) return;
    this.piece += '\n]';
    this.phrases = false;
    this.first = true;
  }

  private add(text: string): string | null {
    this.piece += text;
    this.first = false;
    if (this.piece.length < PIECE) return null;
    const { piece } = this;
    this.piece = '';
    return piece;
  }
}
