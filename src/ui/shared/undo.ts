import { useSyncExternalStore } from 'react';
import type { Phrase } from '../../core/phrase/types';

/** A state of a phrase that can be gone back to, and what was done to it after. */
export interface Step {
  readonly phrase: Phrase;
  /** In words that follow 'Undo': `the title`. */
  readonly what: string;
}

interface Stack {
  readonly undo: readonly Step[];
  readonly redo: readonly Step[];
  /** When the last step was taken, in milliseconds. */
  readonly at: number;
}

const NONE: Stack = { undo: [], redo: [], at: 0 };
const MOST_STEPS = 200;
/** Edits of one thing without a longer pause are one step. */
const PAUSE = 1_500;

/** What can be undone of each phrase since the app was opened. */
export class UndoStacks {
  private readonly stacks = new Map<string, Stack>();
  private readonly listeners = new Set<() => void>();

  subscribe = (changed: () => void): (() => void) => {
    this.listeners.add(changed);
    return () => this.listeners.delete(changed);
  };

  /** The same object until something changes. */
  of(id: string): Stack {
    return this.stacks.get(id) ?? NONE;
  }

  /**
   * Remembers a phrase as it was before a change.
   * @param at Milliseconds; a change of the same thing soon after joins the step before it.
   */
  record(before: Phrase, what: string, at: number): void {
    const { undo, at: last } = this.of(before.id);
    const joins = undo.at(-1)?.what === what && at - last < PAUSE;
    const next = joins ? undo : [...undo, { phrase: before, what }].slice(-MOST_STEPS);
    this.set(before.id, { undo: next, redo: [], at });
  }

  /** Goes one step back; `now` is the phrase as it stands. Null where there is nothing to undo. */
  undo(now: Phrase): Phrase | null {
    const { undo, redo } = this.of(now.id);
    const step = undo.at(-1);
    if (step === undefined) return null;
    this.set(now.id, {
      undo: undo.slice(0, -1),
      redo: [...redo, { phrase: now, what: step.what }],
      at: 0,
    });
    return step.phrase;
  }

  /** Goes forward again. */
  redo(now: Phrase): Phrase | null {
    const { undo, redo } = this.of(now.id);
    const step = redo.at(-1);
    if (step === undefined) return null;
    this.set(now.id, {
      undo: [...undo, { phrase: now, what: step.what }],
      redo: redo.slice(0, -1),
      at: 0,
    });
    return step.phrase;
  }

  private set(id: string, stack: Stack): void {
    this.stacks.set(id, stack);
    for (const changed of this.listeners) changed();
  }
}

/** Lives as long as the window: what is undone goes through the library like any other edit. */
export const undoStacks = new UndoStacks();

/** What can be undone of a phrase; draws again when that changes. */
export function useUndo(id: string): Stack {
  return useSyncExternalStore(undoStacks.subscribe, () => undoStacks.of(id));
}
