import type { Phrase } from '../core/phrase/types';
import type {
  Conflict,
  LibraryStore,
  Refusal,
  Revision,
  SaveQueue,
  SaveStatus,
  StoredPhrase,
  Waiting,
} from './types';

export interface QueueDeps {
  /** Milliseconds since 1970. */
  now(): number;
  /** An id that no other phrase has. */
  newId(): string;
  /** Runs something after `ms`; what is returned calls it off. */
  after(ms: number, run: () => void): () => void;
  /** Title of a version that is kept beside the one from another window. */
  copyTitle(title: string): string;
}

/** An edit is written when none followed for so long, in milliseconds, … */
const PAUSE = 400;
/** … or when the first one has waited for so long. */
const LONGEST = 2000;

const SAVED: SaveStatus = { kind: 'saved' };

/** One phrase that is not yet on the disk as it should be. */
interface Entry {
  /** The newest version that no write has begun for. */
  waiting: Phrase | null;
  /** What the next write is made from. */
  base: Revision | null;
  writing: Promise<void> | null;
  /** What is being written. */
  underWay: Phrase | null;
  /** Write what waits as soon as the present write ends. */
  again: boolean;
  /** When the first version since the last write came, in ms since 1970. */
  since: number;
  cancel: (() => void) | null;
  refused: boolean;
  /** Another window had removed it, and the user does not know yet. */
  revived: boolean;
}

/** This window's version of a phrase that another window wrote too. */
interface Split {
  readonly mine: StoredPhrase;
  /** Revision of the other window's version: what is made from it is an edit of that one. */
  readonly theirs: Revision;
  /** Title that both had. */
  readonly title: string;
}

/** A queue before a library. It closes and opens with it. */
export function createSaveQueue(store: LibraryStore, deps: QueueDeps): SaveQueue {
  return new Queue(store, deps);
}

class Queue implements SaveQueue {
  private readonly entries = new Map<string, Entry>();
  private readonly statuses = new Map<string, SaveStatus>();
  private readonly listeners = new Set<() => void>();
  private readonly splits = new Map<string, Split>();
  /**
   * Revisions written over by this queue, with what it wrote instead: an edit that the page began
   * from one of them has this window's own save beneath it, and is no conflict.
   */
  private readonly successors = new Map<Revision, Revision>();

  constructor(
    private readonly store: LibraryStore,
    private readonly deps: QueueDeps,
  ) {
    store.onClosing(() => this.flush());
    let state = store.snapshot().state;
    store.subscribe(() => {
      const now = store.snapshot().state;
      if (now === 'ready' && state !== 'ready') void this.flush();
      state = now;
    });
  }

  status(id: string): SaveStatus {
    return this.statuses.get(id) ?? SAVED;
  }

  unsaved(): boolean {
    return this.entries.size > 0;
  }

  waiting(): readonly Waiting[] {
    return [...this.entries.values()].flatMap(({ waiting, underWay, base }) => {
      const phrase = waiting ?? underWay;
      return phrase === null
        ? []
        : [{ phrase, base, underWay: phrase === underWay ? null : underWay }];
    });
  }

  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => {
      this.listeners.delete(listener);
    };
  }

  edit(phrase: Phrase, base: Revision | null): void {
    const split = this.splits.get(phrase.id);
    if (split === undefined || (base !== null && base >= split.theirs)) this.take(phrase, base);
    else this.take(versionOf(phrase, split), split.mine.revision);
  }

  private take(phrase: Phrase, base: Revision | null): void {
    const entry = this.entries.get(phrase.id) ?? this.begin(phrase.id, base);
    if (entry.waiting === null) entry.since = this.deps.now();
    entry.waiting = phrase;
    entry.cancel?.();
    const left = entry.since + LONGEST - this.deps.now();
    entry.cancel = this.deps.after(Math.max(0, Math.min(PAUSE, left)), () => {
      void this.write(phrase.id);
    });
    this.show(phrase.id, { kind: 'unsaved', draft: phrase });
  }

  async flush(): Promise<void> {
    await Promise.all([...this.entries.keys()].map((id) => this.write(id)));
  }

  async retry(id: string): Promise<void> {
    await this.write(id);
  }

  dismiss(id: string): void {
    const { kind } = this.status(id);
    // What is still made from the older version goes on going to this window's own.
    if (kind === 'kept both' || kind === 'kept removed') this.show(id, SAVED);
  }

  abandon(id: string): void {
    const entry = this.entries.get(id);
    if (entry === undefined) return;
    entry.cancel?.();
    entry.waiting = null;
    if (entry.writing !== null) return;
    this.entries.delete(id);
    this.show(id, SAVED);
  }

  private begin(id: string, base: Revision | null): Entry {
    const entry: Entry = {
      waiting: null,
      base: this.newest(base),
      writing: null,
      underWay: null,
      again: false,
      since: 0,
      cancel: null,
      refused: false,
      revived: false,
    };
    this.entries.set(id, entry);
    return entry;
  }

  private newest(base: Revision | null): Revision | null {
    let at = base;
    for (let next = base; next !== null; next = this.successors.get(next) ?? null) at = next;
    return at;
  }

  /** Writes what waits; begins at once unless a write of this phrase is under way. */
  private write(id: string): Promise<void> {
    const entry = this.entries.get(id);
    if (entry === undefined) return Promise.resolve();
    entry.cancel?.();
    entry.cancel = null;
    if (entry.writing !== null) {
      entry.again = true;
      return entry.writing;
    }
    entry.writing = this.writeAll(id, entry);
    return entry.writing;
  }

  private async writeAll(id: string, entry: Entry): Promise<void> {
    do {
      entry.again = false;
      entry.refused = false;
      const draft = entry.waiting;
      if (draft === null) break;
      entry.waiting = null;
      entry.underWay = draft;
      this.show(id, { kind: 'saving', draft });
      await this.settle(id, entry, draft);
      entry.underWay = null;
    } while (entry.again && !entry.refused);
    entry.writing = null;
    if (entry.waiting === null) this.entries.delete(id);
  }

  /** Brings one draft to the disk, or keeps it as refused. */
  private async settle(id: string, entry: Entry, draft: Phrase): Promise<void> {
    for (;;) {
      const result = await this.store.save(draft, entry.base);
      if (result.kind === 'saved') {
        this.follow(entry, result.stored);
        if (entry.waiting !== null) return;
        const { stored } = result;
        return this.show(id, entry.revived ? { kind: 'kept removed', stored } : SAVED);
      }
      if (result.kind !== 'conflict') return this.refuse(id, entry, draft, result);
      const { conflict } = result;
      if (conflict.kind === 'damaged') return this.refuse(id, entry, draft, conflict);
      if (conflict.kind === 'changed') return this.keepBoth(id, entry, draft, conflict);
      entry.revived = true;
      entry.base = conflict.kind === 'removed' ? conflict.revision : null;
    }
  }

  /** Saves the draft under an id of its own, as a child of what another window wrote. */
  private async keepBoth(
    id: string,
    entry: Entry,
    draft: Phrase,
    conflict: Extract<Conflict, { kind: 'changed' }>,
  ): Promise<void> {
    const time = new Date(this.deps.now()).toISOString();
    const title = this.deps.copyTitle(draft.meta.title);
    const result = await this.store.save(
      {
        ...draft,
        id: this.deps.newId(),
        parent: id,
        meta: { ...draft.meta, title, created: time },
      },
      null,
    );
    if (result.kind !== 'saved') {
      return this.refuse(id, entry, draft, result.kind === 'conflict' ? conflict : result);
    }
    const { stored: mine } = result;
    this.splits.set(id, { mine, theirs: conflict.theirs.revision, title: draft.meta.title });
    const later = entry.waiting;
    entry.waiting = null;
    entry.base = conflict.theirs.revision;
    entry.cancel?.();
    this.show(id, { kind: 'kept both', theirs: conflict.theirs, mine });
    if (later !== null) this.edit(later, null);
  }

  private follow(entry: Entry, stored: StoredPhrase): void {
    if (entry.base !== null && entry.base !== stored.revision) {
      this.successors.set(entry.base, stored.revision);
    }
    entry.base = stored.revision;
  }

  /** The draft stays, unless a newer one has come meanwhile, which is tried in its turn. */
  private refuse(id: string, entry: Entry, draft: Phrase, why: Refusal | Conflict): void {
    entry.waiting ??= draft;
    entry.refused = true;
    this.show(id, { kind: 'refused', draft: entry.waiting, refusal: why });
  }

  private show(id: string, status: SaveStatus): void {
    if (status === SAVED) this.statuses.delete(id);
    else this.statuses.set(id, status);
    for (const listener of [...this.listeners]) listener();
  }
}

/** An edit of a phrase as an edit of this window's own version of it. */
function versionOf(phrase: Phrase, { mine, title }: Split): Phrase {
  const { id, parent, meta } = mine.phrase;
  return {
    ...phrase,
    id,
    parent,
    meta: {
      ...phrase.meta,
      title: phrase.meta.title === title ? meta.title : phrase.meta.title,
      created: meta.created,
    },
  };
}
