import type { History } from '../../core/edit/steps';
import type { NoteId } from '../../core/phrase/types';
import type { CaughtPhrase } from '../../io/heard/phrases';
import type { Corrected } from './corrections';
import type { CaughtTake } from './messages';

/** How the two are written; one that is written otherwise gets the next number, and this one is read on. */
export const UNKEPT_VERSION = 1;

/** A take as it lies on the disk: phrases as text, which has a version and migrations of its own. */
export interface TakeData extends Omit<CaughtTake, 'phrases'> {
  readonly version: typeof UNKEPT_VERSION;
  readonly phrases: readonly PhraseData[];
}

export interface PhraseData extends Omit<CaughtPhrase, 'phrase' | 'heard' | 'doubts'> {
  /** Absent where it was set aside before there were any. */
  readonly doubts?: CaughtPhrase['doubts'];
  readonly text: string;
  readonly heard: readonly (readonly [NoteId, CaughtTake['notes'][number]])[];
}

/** What was done to one phrase of it. */
export interface WorkData {
  readonly version: typeof UNKEPT_VERSION;
  /** As it stands. */
  readonly text: string;
  readonly history: History;
  readonly made: Corrected['made'];
  /** What the library has of it; null where it has not been kept. */
  readonly kept: KeptData | null;
}

export interface KeptData {
  /** As it was kept. */
  readonly text: string;
  readonly history: History;
  readonly revision: number;
  /** As it was caught then, unless it stands so now. */
  readonly caught: string | null;
}
