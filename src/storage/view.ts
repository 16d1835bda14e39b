import type { Phrase } from '../core/phrase/types';
import type { Problem } from '../core/result';
import type { AnyKind, Kind } from '../io/kinds/kind';
import { KINDS, PHRASES } from '../io/kinds/kinds';
import { storedPhrase } from './as-phrase';
import { type Item, keyOf, type RawRecord, type ReadRecord, readRecord } from './record';
import { withRevision } from './seal';
import type {
  CopyState,
  LibrarySnapshot,
  LibraryState,
  Mishap,
  Revision,
  Stored,
  StoredPhrase,
  StoreProblem,
} from './types';
import type { Change } from './writes';

/** The library as this window has it, and who listens. */
export class View {
  /** What this window knows of each record. */
  private readonly records = new Map<string, ReadRecord>();
  /** Everything of each kind by name, as it was published last. */
  private readonly lists = new Map<string, readonly Stored<unknown>[]>();
  /** Names of kinds of which something changed since, and whether a problem did. */
  private readonly stale = new Set<string>();
  private problemsStale = false;
  /** So many works are under way whose changes are shown when they end. */
  private bulk = 0;
  private readonly listeners = new Set<() => void>();
  private current: LibrarySnapshot;

  constructor(
    lasting: boolean,
    readonly kinds: readonly AnyKind[] = KINDS,
  ) {
    this.current = {
      state: 'opening',
      reason: null,
      phrases: [],
      problems: [],
      progress: null,
      mishap: null,
      copy: 'none',
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

  setCopy(copy: CopyState): void {
    if (copy !== this.current.copy) this.publish({ ...this.current, copy });
  }

  setPersisted(persisted: boolean | null): void {
    if (persisted !== this.current.persisted) this.publish({ ...this.current, persisted });
  }

  clear(): void {
    for (const key of [...this.records.keys()]) this.set(key, null);
  }

  problem(key: string): StoreProblem | null {
    const known = this.records.get(key);
    return known?.kind === 'problem' ? known.problem : null;
  }

  /** Everything of a kind that was published; the same list until one of them changes. */
  list<T>(kind: Kind<T>): readonly Stored<T>[] {
    // What stands under a kind's name was decoded by that kind.
    return (this.lists.get(kind.name) ?? NONE) as readonly Stored<T>[];
  }

  get<T>(kind: Kind<T>, id: string): Stored<T> | null {
    const known = this.records.get(keyOf(kind, id));
    // What stands under a kind's key was decoded by that kind.
    return known?.kind === 'item' ? (known.item.stored as Stored<T>) : null;
  }

  phrase(id: string): StoredPhrase | null {
    const stored = this.get<Phrase>(PHRASES, id);
    return stored === null ? null : storedPhrase(stored);
  }

  /** Keys of what is as it was laid in. */
  sampleKeys(): readonly string[] {
    return [...this.records].flatMap(([key, k]) =>
      k.kind === 'item' && k.item.stored.sample ? [key] : [],
    );
  }

  /** What was checked when it was read, since its record does not say that it was before. */
  unsealed(): readonly Item[] {
    return [...this.records.values()].flatMap((k) =>
      k.kind === 'item' && !k.item.sealed ? [k.item] : [],
    );
  }

  /** They say so now. */
  sealed(items: readonly Item[]): void {
    for (const item of items) {
      const known = this.records.get(item.key);
      if (known?.kind === 'item' && known.item === item)
        this.records.set(item.key, { kind: 'item', item: { ...item, sealed: true } });
    }
  }

  /** Keys of what was removed at a time for which `test` holds. */
  removedKeys(test: (removed: number) => boolean): readonly string[] {
    return [...this.records].flatMap(([key, k]) =>
      k.kind === 'removed' && test(k.removed) ? [key] : [],
    );
  }

  /**
   * Takes records as they were read. One that this window knows in the same or a later revision is
   * not looked at, so what did not change stays the same object.
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
      const read = readRecord(raw, this.kinds);
      if (
        known?.kind !== 'problem' ||
        read.kind !== 'problem' ||
        !alike(known.problem, read.problem)
      )
        this.set(raw.key, read);
    }
    return highest;
  }

  takeChanges(changes: readonly Change[], now: number): void {
    for (const c of changes) {
      if (c.kind === 'gone') this.set(c.key, null);
      else if (c.kind === 'put') this.setNewer(c.item.key, { kind: 'item', item: c.item });
      else if (c.kind === 'restored') this.bringBack(c);
      else {
        const was = this.records.get(c.key);
        // Another window may have written it since it was read here.
        const known = was?.kind === 'item' && was.item.stored.revision === c.before;
        const item = known ? was.item : null;
        this.setNewer(c.key, { kind: 'removed', revision: c.revision, removed: now, item });
      }
    }
  }

  /** Forgets records that are no longer there. */
  forget(keys: readonly string[]): void {
    for (const k of keys) this.set(k, null);
  }

  /** Makes no snapshot of records until the work ends. */
  async inBulk<T>(work: () => Promise<T>): Promise<T> {
    this.bulk += 1;
    try {
      return await work();
    } finally {
      this.bulk -= 1;
      this.publishRecords();
    }
  }

  /** Makes the snapshot anew if anything in it changed, and tells the listeners. */
  publishRecords(): void {
    if (this.bulk > 0) return;
    if (this.stale.size === 0 && !this.problemsStale) return;
    const made = new Map<string, Stored<unknown>[]>();
    const problems: StoreProblem[] = [];
    for (const name of this.stale) made.set(name, []);
    for (const known of this.records.values()) {
      if (known.kind === 'item') made.get(known.item.kind.name)?.push(known.item.stored);
      else if (known.kind === 'problem') problems.push(known.problem);
    }
    for (const [name, list] of made) this.lists.set(name, list);
    const phrases = this.stale.has(PHRASES.name)
      ? this.list<Phrase>(PHRASES).map(storedPhrase)
      : this.current.phrases;
    const next = this.problemsStale ? problems : this.current.problems;
    this.stale.clear();
    this.problemsStale = false;
    this.publish({ ...this.current, phrases, problems: next });
  }

  private bringBack({ record, before }: Extract<Change, { kind: 'restored' }>): void {
    const key = record.id;
    const known = this.records.get(key);
    if (known?.kind === 'removed' && known.revision === before && known.item !== null) {
      // Its text is what it was when it was removed here.
      const stored = withRevision(known.item.stored, record.revision);
      this.set(key, { kind: 'item', item: { ...known.item, stored } });
    } else this.takeRecords([{ key, value: record }]);
  }

  private setNewer(key: string, known: ReadRecord): void {
    const before = this.records.get(key);
    if (before !== undefined && before.kind !== 'problem' && revisionOf(before) > revisionOf(known))
      return;
    this.set(key, known);
  }

  /** @param known Null for a record that is gone. */
  private set(key: string, known: ReadRecord | null): void {
    const before = this.records.get(key);
    if (known === null) this.records.delete(key);
    else this.records.set(key, known);
    for (const k of [before, known]) {
      if (k?.kind === 'item') this.stale.add(k.item.kind.name);
      else if (k?.kind === 'problem') this.problemsStale = true;
    }
  }

  private publish(snapshot: LibrarySnapshot): void {
    this.current = snapshot;
    for (const listener of [...this.listeners]) listener();
  }
}

const NONE: readonly Stored<unknown>[] = [];

function revisionOf(known: ReadRecord): Revision {
  if (known.kind === 'item') return known.item.stored.revision;
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
