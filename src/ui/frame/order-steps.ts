import type { Refusal } from '../../storage/types';
import { refusalInWords } from '../shared/save-words';

/** A part of what is done to several things at once. */
export interface Step {
  /** What was done, as the end of a sentence. */
  readonly said: string;
  /** @returns why it could not be taken back, line by line; nothing where it was. */
  readonly undo: () => Promise<readonly string[]>;
}

/** Null where nothing was to be done. */
export type Done = Step | { readonly refused: readonly string[] } | null;

/** What a write says that was not done; nothing where it was. */
export function whyNot(
  result:
    | Refusal
    | { readonly kind: 'conflict' }
    | { readonly kind: 'saved' }
    | { readonly kind: 'done' },
): readonly string[] {
  if (result.kind === 'saved' || result.kind === 'done') return [];
  return result.kind === 'conflict'
    ? ['It was changed in another window. Do it again.']
    : refusalInWords(result);
}
