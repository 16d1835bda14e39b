import { keyOf } from './record';
import { tidyRecordings } from './recordings';
import type { LibraryStore } from './types';

/** What was removed may come back for 30 days; the rest is for a second copy that came late. */
const KEPT = 60 * 24 * 60 * 60 * 1000;

/** Throws away earlier versions and recordings that have long belonged to nothing that is there; for when the page is at rest. */
export async function pruneLeftOver(store: LibraryStore, now: number): Promise<void> {
  const { problems, mishap, copy } = store.snapshot();
  // What the browser has thrown away may still come back, and its versions are the last that is left.
  if (mishap !== null || copy === 'late') return;
  const there = store.kinds.flatMap((kind) =>
    kind.keepsPast === true
      ? store
          .of(kind)
          .all()
          .map(({ id }) => keyOf(kind, id))
      : [],
  );
  const removed = store.things.removed().map(({ kind, id }) => keyOf(kind, id));
  const known = new Set([...there, ...removed]);
  for (const p of problems) known.add(p.key);
  await store.versions?.prune(known, now - KEPT);
  // What cannot be read or deleted now is looked at again at the next start.
  await tidyRecordings(store, now).catch(() => undefined);
}
