import type { Thing } from '../../io/kinds/kind';
import { keyOf } from '../../storage/record';
import { sealOf } from '../../storage/seal';
import type { LibraryStore } from '../../storage/types';

/**
 * Those of some things that are, to the letter, an earlier version of what is here: what the
 * library has was made of them, so that an older backup offers nothing twice. What only looks older is
 * none of them, since it may have been changed elsewhere.
 */
export async function olderHere<T extends Thing>(
  store: Pick<LibraryStore, 'of' | 'versions'>,
  things: readonly T[],
): Promise<ReadonlySet<T>> {
  const { versions } = store;
  const older = new Set<T>();
  if (versions === null) return older;
  for (const thing of things) {
    const { kind } = thing;
    if (kind.keepsPast !== true) continue;
    const { id } = kind.identityOf(thing.value);
    const there = store.of(kind).get(id);
    if (there === null) continue;
    const text = JSON.stringify(thing.value);
    // Most of a backup is as it is here: that needs no look at what was.
    if (there.sum === sealOf(kind, keyOf(kind, id), text)) continue;
    const past = await versions.list(kind, id);
    if (past.some(({ value }) => JSON.stringify(value) === text)) older.add(thing);
  }
  return older;
}
