import type { Phrase } from '../../../core/phrase/types';

/** What is to be exported. */
export interface ToExport {
  readonly ids: readonly string[];
  /** Null for those that the library has under these ids: they are read when they are written. */
  readonly phrases: readonly Phrase[] | null;
  /** What accompanies phrases, by their ids. */
  readonly along?: ReadonlyMap<string, Phrase>;
  /** Their order is kept in the names of their files; so an archive of them is called, without its ending. */
  readonly inOrder?: string;
  /** What of the whole that is exported could not be made, with why, in words without a full stop. */
  readonly left?: readonly string[];
}
