import type { Refusal } from '../../storage/types';
import { refusalInWords } from '../shared/save-words';

/** A part of what is done to several things at once. */
export interface Step {
  /** What was done, as the end of a sentence. */
  readonly said: string;
  readonly undo: () => Promise<void>;
}

/** Null where nothing was to be done. */
export type Done = Step | { readonly refused: readonly string[] } | null;

export function whyNot(refused: Refusal | { readonly kind: 'conflict' }): readonly string[] {
  return refused.kind === 'conflict'
    ? ['It was changed in another window. Do it again.']
    : refusalInWords(refused);
}
