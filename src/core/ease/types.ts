import type { CostName } from '../neck/costs';
import type { DifficultyStep } from '../neck/difficulty';
import type { NoteId, Phrase, Ticks } from '../phrase/types';

/** What makes a spot hard: a part of the hand's cost, or that much is struck in little time. */
export type SpotPart = CostName | 'pace';

/** Something in a phrase that is hard for the hands. */
export interface HardSpot {
  readonly onset: Ticks;
  /** The pickup is bar 0. */
  readonly bar: number;
  /** From 1, with fractions; of the pickup counted from its end (T2). */
  readonly beat: number;
  /** What it costs the hand, in the unit of the weights (N4). */
  readonly cost: number;
  /** Why, the costliest first, in a player's words without the bar: 'stretch of 92 mm, frets 5 to 9'. */
  readonly why: readonly string[];
  readonly parts: readonly SpotPart[];
  /** What is struck there, by note id or grace key. */
  readonly noteIds: readonly NoteId[];
}

/**
 * What an easier way does. `place`: the same notes at other places. `strike`: hammered, pulled off or slid to instead of
 * plucked, or the other way round. `bend`: a narrower bend or none. `pair`: another second note, or
 * one held less long. `fewer`: a note less.
 */
export type EasierKind = 'place' | 'strike' | 'bend' | 'pair' | 'fewer';

/** What of the phrase an easier way leaves as it is. */
export interface Kept {
  /** Every note is there, at its time and as long as before. */
  readonly notes: boolean;
  readonly times: boolean;
  /** Every note that is left is heard at its pitch (D5). */
  readonly pitches: boolean;
  /** Every note that is left has its degree and its role (D1, D3). */
  readonly roles: boolean;
}

/** A way to play it that is easier on the scale of difficulty, by the same cost model. */
export interface EasierWay {
  readonly kind: EasierKind;
  /** What is done, in a player's words: 'C on string 3 fret 5, not string 4 fret 10'. */
  readonly what: string;
  readonly phrase: Phrase;
  readonly kept: Kept;
  /** Pitches, lengths and notes that are not what they were, each in words; empty where all are kept. */
  readonly changes: readonly string[];
  /** The hand's cost of the whole phrase (N4), by the weights of the phrase as it is. */
  readonly cost: { readonly before: number; readonly after: number };
  /** Strokes of the picking hand in a second. */
  readonly pace: { readonly before: number; readonly after: number };
  readonly step: { readonly before: DifficultyStep; readonly after: DifficultyStep };
}

/** A way that is still to be placed, checked and weighed. */
export interface Proposal {
  readonly kind: EasierKind;
  /** Null where the places that come out say it best. */
  readonly what: string | null;
  readonly phrase: Phrase;
  /** What may go to another place, by note id and grace key; null where all lies as it shall. */
  readonly free: ReadonlySet<NoteId> | null;
}
