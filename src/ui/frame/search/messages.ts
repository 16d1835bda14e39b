import type { Around } from '../../../core/library/around';
import type { Phrase } from '../../../core/phrase/types';
import type { Result } from '../../../core/result';
import type { Asked } from '../../../core/search/catalogue/answer';
import type { Answered, LikeOne, TwinsFound } from '../../../core/search/finder';

/** What is asked of the index. */
export type Question =
  | { readonly kind: 'find'; readonly text: string; readonly order: Asked }
  | { readonly kind: 'like'; readonly id: string; readonly most: number }
  /** What is like a phrase that need not be in the library. */
  | { readonly kind: 'likeThis'; readonly phrase: Phrase; readonly most: number }
  | { readonly kind: 'twins'; readonly begin: number; readonly many: number };

/** Ids that are found travel as `packIds` makes them: few texts are quickly copied. */
export interface Answers {
  readonly find: Result<Omit<Answered, 'ids'> & { readonly ids: readonly string[] }>;
  readonly like: readonly LikeOne[];
  readonly likeThis: readonly LikeOne[];
  readonly twins: TwinsFound;
}

/** A phrase with what tells it from every other state of it. */
export interface Stamped {
  readonly stamp: string;
  readonly phrase: Phrase;
}

/** What the page sends. */
export type ToIndex =
  /** First of all: what the library holds, as lines of an id and a stamp. */
  | { readonly kind: 'holds'; readonly lines: string }
  /** What the library knows of its phrases besides. */
  | { readonly kind: 'around'; readonly around: Around }
  | { readonly kind: 'put'; readonly phrases: readonly Stamped[] }
  | { readonly kind: 'drop'; readonly ids: string }
  | { readonly kind: 'ask'; readonly number: number; readonly question: Question };

/** What the page gets back. */
export type FromIndex =
  /** Ids of what has to be put in, since the index on the disk does not have it so. */
  | { readonly kind: 'wants'; readonly ids: string }
  | { readonly kind: 'taken' }
  /** Whether there was room on the device to keep the index. */
  | { readonly kind: 'kept'; readonly fits: boolean }
  /** How the answer to `find` begins, where all of it takes longer; the answer follows. */
  | { readonly kind: 'first'; readonly number: number; readonly answer: Answers['find'] }
  | { readonly kind: 'answer'; readonly number: number; readonly answer: unknown };
