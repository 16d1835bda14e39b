import type { Draft } from '../frame/draft';
import type { Writer } from '../frame/writing/writer';

/** What a part of the writing page gets: the neck, the chord lane, quick text and the like. */
export interface PartProps {
  readonly writer: Writer;
  readonly draft: Draft;
  /** Brings the focus back to the score, after something was done with a pointer. */
  readonly onDone: () => void;
}
