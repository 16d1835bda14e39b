import type { Note, PhraseEvent, PitchedNote } from '../phrase/types';
import type { TechniqueField } from './fields';
import { noteTechniques } from './table';

/** What a note or a moment has of a technique; undefined where it has none of it. */
export function valueOfTechnique(x: Note | PhraseEvent, field: TechniqueField): unknown {
  return field in x ? (x as Partial<Record<TechniqueField, unknown>>)[field] : undefined;
}

/** The note or moment without a technique; the same one where it has none of it. */
export function without<T extends Note | PhraseEvent>(x: T, field: TechniqueField): T {
  if (!(field in x)) return x;
  const { [field as keyof T]: _, ...rest } = x;
  // A technique is never a field that has to be there.
  return rest as T;
}

const ASKING = noteTechniques((t) => t.asksPlace);

/** The note without what asks anything of its string; its place is all that is looked for. */
export function bareNote(n: PitchedNote): PitchedNote {
  return ASKING.reduce(without, n);
}
