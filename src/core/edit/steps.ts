import type { Patch } from './reconcile';
import type { Selection } from './state';

/* Data alone, apart from what makes and takes patches: whoever only keeps steps needs no more. */

/** One thing that was done, and how to take it back: plain JSON, kept with the phrase. */
export interface Step {
  /** Id of the command. */
  readonly command: string;
  /** What follows 'Undo': `Bend a whole tone`. */
  readonly label: string;
  readonly patches: readonly Patch[];
  readonly inverse: readonly Patch[];
  readonly before: Selection;
  readonly after: Selection;
  /** When, in milliseconds since 1970. */
  readonly at: number;
}

/** All that was done to a phrase: `steps.slice(0, done)` is in it, the rest was taken back. */
export interface History {
  readonly steps: readonly Step[];
  readonly done: number;
}

export const NO_HISTORY: History = { steps: [], done: 0 };

/** A phrase keeps so many steps; what was done before them can no longer be taken back. */
export const MOST_STEPS = 2_000;
