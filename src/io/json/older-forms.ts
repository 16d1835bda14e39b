import type { MigrationSequence } from './migrate';

/**
 * A document of the newest version in the forms that older programs give it, the newest of them first: as far back as steps
 * leave documents as they are but for the number.
 */
export function olderForms<T extends object>(
  sequence: MigrationSequence,
  document: T,
): readonly T[] {
  const changed = Math.max(1, ...sequence.steps.filter((s) => s.migrate).map((s) => s.to));
  const forms: T[] = [];
  for (let version = sequence.newest - 1; version >= changed; version--) {
    forms.push({ ...document, version });
  }
  return forms;
}
