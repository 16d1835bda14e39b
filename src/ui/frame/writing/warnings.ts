import { checkPlayable } from '../../../core/neck/playable';
import type { NoteId, Phrase } from '../../../core/phrase/types';

/** What a writer should know of single notes. */
export interface Warnings {
  /** Why a note cannot be played where it is (N3), without a full stop. */
  readonly faults: ReadonlyMap<NoteId, string>;
  /** Notes of which the length was guessed. */
  readonly guessed: ReadonlySet<NoteId>;
}

/** What no hand can do in a phrase, and what was guessed, by note. */
export function warningsOf(p: Phrase): Warnings {
  const faults = new Map<NoteId, string>();
  for (const v of checkPlayable(p)) {
    for (const id of v.noteIds) if (!faults.has(id)) faults.set(id, v.message);
  }
  const guessed = new Set<NoteId>();
  for (const v of p.voices) {
    for (const e of v.events) if (e.guessed) for (const n of e.notes) guessed.add(n.id);
  }
  return { faults, guessed };
}

/** What is to be said of some notes: each thing once. */
export function warningWords(w: Warnings, ids: readonly NoteId[]): readonly string[] {
  const faults = ids.flatMap((id) => w.faults.get(id) ?? []);
  const guessed = ids.some((id) => w.guessed.has(id)) ? ['the length is guessed'] : [];
  return [...new Set(faults.map((f) => `out of reach: ${f}`)), ...guessed];
}
