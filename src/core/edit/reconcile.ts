import { applyPatches, enablePatches, type Patch, produceWithPatches } from 'immer';
import type { Phrase } from '../phrase/types';

enablePatches();

export type { Patch };

/** How to come from one phrase to another and back, as immer patches: plain JSON. */
export interface Change {
  readonly patches: readonly Patch[];
  readonly inverse: readonly Patch[];
}

/**
 * The patches between two phrases. Parts that are the same object are not looked at, so that the
 * cost follows what was changed; equal parts keep the identity they have in `before`.
 */
export function changeBetween(before: Phrase, after: Phrase): Change & { readonly phrase: Phrase } {
  const [phrase, patches, inverse] = produceWithPatches(before, (draft) => {
    reconcileObject(draft as unknown as Tree, before as unknown as Tree, after as unknown as Tree);
  });
  return { phrase, patches, inverse };
}

/** Takes patches to the phrase they were made for. */
export function patchPhrase(phrase: Phrase, patches: readonly Patch[]): Phrase {
  return applyPatches(phrase, [...patches]);
}

type Tree = { [key: string]: unknown };

function reconcileObject(draft: Tree, before: Tree, after: Tree): void {
  for (const key of Object.keys(before)) if (!(key in after)) delete draft[key];
  for (const key of Object.keys(after)) {
    if (before[key] !== after[key]) {
      if (!mergeInto(draft[key], before[key], after[key])) draft[key] = after[key];
    }
  }
}

/** Changes a part in place where both are lists or both are objects; false where it must be replaced. */
function mergeInto(draft: unknown, before: unknown, after: unknown): boolean {
  if (Array.isArray(before) && Array.isArray(after)) {
    reconcileArray(draft as unknown[], before, after);
    return true;
  }
  if (isTree(before) && isTree(after)) {
    reconcileObject(draft as Tree, before, after);
    return true;
  }
  return Object.is(before, after);
}

/**
 * Lists are matched from both ends by identity, or by `id` and `onset` where entries have them; the
 * middle is spliced, so that an inserted note is one small patch for each entry after it at most.
 */
function reconcileArray(draft: unknown[], before: readonly unknown[], after: readonly unknown[]) {
  const shared = Math.min(before.length, after.length);
  let head = 0;
  while (head < shared && alike(before[head], after[head])) head++;
  let tail = 0;
  while (tail < shared - head && alike(before.at(-1 - tail), after.at(-1 - tail))) tail++;
  const merge = (b: number, a: number) => {
    if (before[b] === after[a]) return;
    if (!mergeInto(draft[b], before[b], after[a])) draft[b] = after[a];
  };
  for (let i = 0; i < head; i++) merge(i, i);
  for (let i = 0; i < tail; i++) merge(before.length - 1 - i, after.length - 1 - i);
  const removed = before.length - head - tail;
  const added = after.slice(head, after.length - tail);
  if (removed > 0 || added.length > 0) draft.splice(head, removed, ...added);
}

/** Whether two entries are the same thing at two moments, so that only its fields are compared. */
function alike(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (Array.isArray(a) || Array.isArray(b)) return Array.isArray(a) && Array.isArray(b);
  if (!isTree(a) || !isTree(b)) return false;
  if ('id' in a || 'id' in b) return a.id === b.id;
  return a.onset === b.onset;
}

function isTree(x: unknown): x is Tree {
  return typeof x === 'object' && x !== null && !Array.isArray(x);
}
