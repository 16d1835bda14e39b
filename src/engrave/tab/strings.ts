import type { Instrument, NoteId, Ticks } from '../../core/phrase/types';
import type { Box } from '../ink/box';

/** Distance of two strings in the tablature. */
export const STRING_SPACE = 13;
export const FRET_SIZE = 13;
export const SMALL_FRET_SIZE = 9.5;

/** y of a string; the first string's line is 0. */
export function stringY(string: number): number {
  return (string - 1) * STRING_SPACE;
}

/** One fret as it stands in its column. */
export interface FretPlace {
  readonly id: NoteId;
  readonly string: number;
  /** The number itself, without brackets. */
  readonly box: Box;
}

/** What the numbers of a bar depend on besides its notes. */
export interface TabStyle {
  readonly instrument: Instrument;
  readonly changed: ReadonlySet<NoteId>;
  /** First tick of the bar: a note tied over the bar line is shown again in parentheses. */
  readonly barStart: Ticks;
}
