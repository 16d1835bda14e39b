import type { Command } from '../../../core/edit/command';
import type { History } from '../../../core/edit/history';
import type { Outcome } from '../../../core/edit/outcome';
import type { EditState } from '../../../core/edit/state';
import type { ChangeNote } from '../edits';

/** What was told last, for whoever listens; a new object each time, also for the same words. */
export interface Told {
  readonly text: string;
  /** It could not be done. */
  readonly refused: boolean;
}

/** A phrase being written: what it is, where the writer is in it, and what can be done. */
export interface Writer {
  readonly state: EditState;
  readonly history: History;
  readonly told: Told;
  /** Runs a command on the phrase as it is at this moment; what it changes is saved. */
  readonly run: (command: Command, value?: unknown) => Outcome;
  /**
   * Takes the outcome of something that is no command of the table, such as pasting.
   * @param make Gets the state as it is at this moment.
   */
  readonly take: (make: (state: EditState) => Outcome, note: ChangeNote) => Outcome;
  /** Why a command cannot be run now; null where it can. */
  readonly why: (command: Command, value?: unknown) => string | null;
  readonly undo: () => void;
  readonly redo: () => void;
}
