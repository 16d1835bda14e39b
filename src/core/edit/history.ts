import type { Phrase } from '../phrase/types';
import { changeBetween, patchPhrase } from './reconcile';
import type { EditState, Selection } from './state';
import { type History, MOST_STEPS, NO_HISTORY, type Step } from './steps';

export { type History, MOST_STEPS, NO_HISTORY, type Step };

/** What a step is recorded as. */
export interface StepNote {
  readonly command: string;
  readonly label: string;
  /** Milliseconds since 1970. */
  readonly at: number;
  /** The step joins the one before it where that is of the same command and this fits. */
  readonly joins?: boolean;
}

/** Two edits of one kind further apart than this are two steps, in milliseconds. */
export const JOIN_WITHIN = 2_000;

/**
 * Records what led from one state to the next; what had been taken back before is given up, as it
 * belongs to a phrase that is no more. Without a change of the phrase there is no step.
 * @returns the history, and the state with the phrase whose untouched parts keep their identity.
 */
export function record(
  history: History,
  before: EditState,
  after: EditState,
  note: StepNote,
): { readonly history: History; readonly state: EditState } {
  if (before.phrase === after.phrase) return { history, state: after };
  const change = changeBetween(before.phrase, after.phrase);
  const state = { ...after, phrase: change.phrase };
  if (change.patches.length === 0) return { history, state };
  const kept = history.steps.slice(0, history.done);
  const last = kept.at(-1);
  const step: Step = {
    command: note.command,
    label: note.label,
    patches: change.patches,
    inverse: change.inverse,
    before: before.selection,
    after: after.selection,
    at: note.at,
  };
  const joined =
    note.joins === true &&
    last !== undefined &&
    last.command === note.command &&
    note.at - last.at <= JOIN_WITHIN &&
    JSON.stringify(last.after.cursor) === JSON.stringify(before.selection.cursor);
  const steps = joined ? [...kept.slice(0, -1), joinSteps(last, step)] : [...kept, step];
  return { history: newest({ steps, done: steps.length }), state };
}

/**
 * Puts what was done before in front of what was done since.
 * @param since Begins with the phrase that `before` has led to.
 */
export function goOnFrom(before: History, since: History): History {
  if (since.steps.length === 0) return before;
  const steps = [...before.steps.slice(0, before.done), ...since.steps];
  return newest({ steps, done: before.done + since.done });
}

function newest({ steps, done }: History): History {
  const dropped = Math.max(0, Math.min(done, steps.length - MOST_STEPS));
  return { steps: steps.slice(dropped), done: done - dropped };
}

function joinSteps(a: Step, b: Step): Step {
  return {
    ...b,
    patches: [...a.patches, ...b.patches],
    // Immer's inverse patches are in the order in which they are to be applied.
    inverse: [...b.inverse, ...a.inverse],
    before: a.before,
  };
}

/** What `undo` and `redo` answer: null where there is nothing to go to. */
export interface Travelled {
  readonly history: History;
  readonly phrase: Phrase;
  readonly selection: Selection;
  readonly step: Step;
}

/** Takes the last step back. */
export function undo(history: History, phrase: Phrase): Travelled | null {
  const step = history.steps[history.done - 1];
  if (step === undefined) return null;
  return {
    history: { ...history, done: history.done - 1 },
    phrase: patchPhrase(phrase, step.inverse),
    selection: step.before,
    step,
  };
}

/** Does the step again that was taken back last. */
export function redo(history: History, phrase: Phrase): Travelled | null {
  const step = history.steps[history.done];
  if (step === undefined) return null;
  return {
    history: { ...history, done: history.done + 1 },
    phrase: patchPhrase(phrase, step.patches),
    selection: step.after,
    step,
  };
}
