import type { Problem } from '../core/result';
import { type RawRecord, readRecord } from './record';
import type {
  LibrarySnapshot,
  LibraryState,
  Mishap,
  Revision,
  StoredPhrase,
  StoreProblem,
} from './types';
import type { Change } from './writes';

/** What this window knows of one record. */
type Known =
  | { readonly kind: 'phrase'; readonly stored: StoredPhrase }
  | { readonly kind: 'removed'; readonly revision: Revision; readonly removed: number }
  | { readonly kind: 'problem'; readonly problem: StoreProblem };

/** The library as this window has it, and who listens. */
export class View {
  private readonly records = new Map<string, Known>();
  private readonly listeners = new Set<() => void>();
  private current: LibrarySnapshot;

  constructor(lasting: boolean) {
    this.current = {
      state: 'opening',
      reason: null,
      phrases: [],
      problems: [],
      progress: null,
      mishap: null,
      persisted: null,
      lasting,
    };
  }

  snapshot(): LibrarySnapshot {
    return this.current;
  }

  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => {
      this.listeners.delete(listener);
    };
  }

  setState(state: LibraryState, reason: Problem | null = null): void {
    if (state === this.current.state && reason === this.current.reason) return;
    const progress = state === 'opening' ? this.current.progress : null;
    this.publish({ ...this.current, state, reason, progress });
  }

  setProgress(done: number, total: number): void {
    this.publish({ ...this.current, progress: { done, total } });
  }

  setMishap(mishap: Mishap | null): void {
    if (mishap !== this.current.mishap) this.publish({ ...this.current, mishap });
  }

  setPersisted(persisted: boolean | null): void {
    if (persisted !== this.current.persisted) this.publish({ ...this.current, persisted });
  }

  clear(): void {
    this.records.clear();
  }

  problem(key: string): StoreProblem | null {
    const known = this.records.get(key);
    return known?.kind === 'problem' ? known.problem : null;
  }

  /** Ids of the phrases for which `test` holds. */
  ids(test: (stored: StoredPhrase) => boolean): readonly string[] {
    return [...this.records].flatMap(([id, k]) =>
      k.kind === 'phrase' && test(k.stored) ? [id] : [],
    );
  }

  /** Ids of what was removed at a time for which `test` holds. */
  removedIds(test: (removed: number) => boolean): readonly string[] {
    return [...this.records].flatMap(([id, k]) =>
      k.kind === 'removed' && test(k.removed) ? [id] : [],
    );
  }

  /**
   * Takes records as they were read. One that this window knows in the same or a later revision is
   * not looked at, so phrases that did not change stay the same objects.
   * @returns the highest revision among them.
   */
  takeRecords(raws: readonly RawRecord[]): Revision {
    let highest: Revision = 0;
    for (const raw of raws) {
      const revision = revisionIn(raw);
      highest = Math.max(highest, revision);
      const known = this.records.get(raw.key);
      if (known !== undefined && known.kind !== 'problem' && revisionOf(known) >= revision)
        continue;
      const read = readRecord(raw);
      if (
        known?.kind !== 'problem' ||
        read.kind !== 'problem' ||
        !alike(known.problem, read.problem)
      )
        this.records.set(raw.key, read);
    }
    return highest;
  }

  takeChanges(changes: readonly Change[], now: number): void {
    for (const c of changes) {
      if (c.kind === 'gone') this.records.delete(c.id);
      else if (c.kind === 'removed') {
        this.set(c.id, { kind: 'removed', revision: c.revision, removed: now });
      } else this.set(c.stored.phrase.id, { kind: 'phrase', stored: c.stored });
    }
  }

  /** Forgets records that are no longer there. */
  forget(keys: readonly string[]): void {
    for (const k of keys) this.records.delete(k);
  }

  /** Makes the snapshot anew if a phrase or a problem changed, and tells the listeners. */
  publishRecords(): void {
    const known = [...this.records.values()];
    const phrases = known.flatMap((k) => (k.kind === 'phrase' ? [k.stored] : []));
    const problems = known.flatMap((k) => (k.kind === 'problem' ? [k.problem] : []));
    const now = this.current;
    if (same(phrases, now.phrases) && same(problems, now.problems)) return;
    this.publish({
      ...now,
      phrases: same(phrases, now.phrases) ? now.phrases : phrases,
      problems: same(problems, now.problems) ? now.problems : problems,
    });
  }

  private set(id: string, known: Known): void {
    const before = this.records.get(id);
    if (before !== undefined && before.kind !== 'problem' && revisionOf(before) > revisionOf(known))
      return;
    this.records.set(id, known);
  }

  private publish(snapshot: LibrarySnapshot): void {
    this.current = snapshot;
    for (const listener of [...this.listeners]) listener();
  }
}

function revisionOf(known: Known): Revision {
  if (known.kind === 'phrase') return known.stored.revision;
  return known.kind === 'removed' ? known.revision : 0;
}

/** The revision a record claims, however damaged the rest is; 0 for none. */
function revisionIn(raw: RawRecord): Revision {
  if ('unreadable' in raw || typeof raw.value !== 'object' || raw.value === null) return 0;
  const found = 'revision' in raw.value ? raw.value.revision : 0;
  return typeof found === 'number' && Number.isSafeInteger(found) ? found : 0;
}

/** Whether it is the same trouble with the same text, so that the page need not show it anew. */
function alike(a: StoreProblem, b: StoreProblem): boolean {
  return a.kind === b.kind && a.raw === b.raw;
}

function same<T>(a: readonly T[], b: readonly T[]): boolean {
  return a.length === b.length && a.every((x, i) => x === b[i]);
}
