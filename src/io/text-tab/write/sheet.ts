import type { BarSpan } from '../../../core/phrase/time';
import type { NoteId, Ticks } from '../../../core/phrase/types';

/** One line of a system: a string of the instrument, or what stands over or under the strings. */
export interface Row {
  readonly id: string;
  /** What stands before it. */
  readonly label: string;
  /** Strings are drawn through and are always there; other rows only where they hold something. */
  readonly kind: 'string' | 'text';
}

/** A text with its place in a row. */
export interface Cell {
  readonly row: string;
  /** Stands before the column: what leads into the note. */
  readonly before: string;
  /** Begins exactly at the column. */
  readonly text: string;
  /** May touch the cell before it in its row, as in `5h7`. */
  readonly joins: boolean;
  /** `before` holds notes of its own (graces, a rake): they stand behind the column before, not in it. */
  readonly leads?: boolean;
  /** The note whose fret begins `text`. */
  readonly note?: NoteId;
}

/** Everything that begins at one moment. */
export interface Column {
  readonly onset: Ticks;
  readonly cells: readonly Cell[];
  /** On a beat: a bar that is too long for the page is broken here. */
  readonly onBeat: boolean;
}

/** A sign that covers several columns of a row, drawn as `PM---|`. */
export interface Span {
  readonly row: string;
  readonly text: string;
  /** Onsets of the first and the last event under it. */
  readonly from: Ticks;
  readonly to: Ticks;
}

/** One phrase on the sheet. */
export interface Part {
  /** Stands in a line of its own over the part; empty for none. */
  readonly caption: string;
  readonly rows: readonly Row[];
  readonly spans: readonly Span[];
  /** Words and dynamics by onset; they may be longer than the room to the next ones. */
  readonly words: ReadonlyMap<Ticks, readonly string[]>;
}

export interface SheetBar {
  readonly span: BarSpan;
  /** Number, meter, ending: over the bar line. */
  readonly head: string;
  readonly columns: readonly Column[];
}

/** One phrase, or several of the same rhythm under each other, before it is laid out in lines. */
export interface Sheet {
  readonly parts: readonly Part[];
  readonly bars: readonly SheetBar[];
}
