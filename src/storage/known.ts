import type { About } from './at-hand';
import type { RawRecord, ReadRecord } from './record';
import type { Revision, Stored, StoreProblem } from './types';

export function aboutOf({ identity, group, sum, revision, sample }: Stored<unknown>): About {
  return { identity, group, sum, revision, sample };
}

export function revisionOf(known: ReadRecord): Revision {
  if (known.kind === 'item') return known.item.stored.revision;
  return known.kind === 'removed' ? known.revision : 0;
}

/** The revision a record claims, however damaged the rest is; 0 for none. */
export function revisionIn(raw: RawRecord): Revision {
  if ('unreadable' in raw || typeof raw.value !== 'object' || raw.value === null) return 0;
  const found = 'revision' in raw.value ? raw.value.revision : 0;
  return typeof found === 'number' && Number.isSafeInteger(found) ? found : 0;
}

/** Whether it is the same trouble with the same text, so that the page need not show it anew. */
export function alike(a: StoreProblem, b: StoreProblem): boolean {
  return a.kind === b.kind && a.raw === b.raw;
}
