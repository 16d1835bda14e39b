import type { Kind } from '../io/kinds/kind';
import type { EditQueue, SaveStatus, Waiting } from './edit-types';
import type { Conflict, KindStore, Refusal, Revision, Stored } from './types';

export interface QueueDeps {
  /** Milliseconds since 1970. */
  now(): number;
  /** An id that nothing else has. */
  newId(): string;
  /** Runs something after `ms`; what is returned calls it off. */
  after(ms: number, run: () => void): () => void;
  /** Title of a version that is kept beside the one from another window. */
  copyTitle(title: string): string;
}

type Status<T> = SaveStatus<T, Stored<T>>;

/** An edit is written when none followed for so long, in milliseconds, … */
const PAUSE = 400;
/** … or when the first one has waited for so long. */
const LONGEST = 2000;

const SAVED = { kind: 'saved' } as const;

/** One thing that is not yet on the disk as it should be. */
interface Entry<T> {
  /** The newest version that no write has begun for. */
  waiting: T | null;
  /** What the next write is made from. */
  base: Revision | null;
  writing: Promise<void> | null;
  /** What is being written. */
  underWay: T | null;
  /** Write what waits as soon as the present write ends. */
  again: boolean;
  /** When the first version since the last write came, in ms since 1970. */
  since: number;
  cancel: (() => void) | null;
  refused: boolean;
  /** Another window had removed it, and the user does not know yet. */
  revived: boolean;
}

/** This window's version of something that another window wrote too. */
interface Split<T> {
  readonly mine: Stored<T>;
  /** Revision of the other window's version: what is made from it is an edit of that one. */
  readonly theirs: Revision;
  /** Title that both had. */
  readonly title: string;
}

/** The edits of one kind before a library. */
export class KindQueue<T> implements EditQueue<T> {
  private readonly entries = new Map<string, Entry<T>>();
  private readonly statuses = new Map<string, Status<T>>();
  private readonly splits = new Map<string, Split<T>>();
  /**
   * Revisions written over by this queue, with what it wrote instead: an edit that the page began
   * from one of them has this window's own save beneath it, and is no conflict.
   */
  private readonly successors = new Map<Revision, Revision>();

  /** @param changed Told of every change of a status. */
  constructor(
    private readonly kind: Kind<T>,
    private readonly store: Pick<KindStore<T>, 'save'>,
    private readonly deps: QueueDeps,
    private readonly changed: () => void,
  ) {}

  status(id: string): Status<T> {
    return this.statuses.get(id) ?? SAVED;
  }

  unsaved(): boolean {
    return this.entries.size > 0;
  }

  waiting(): readonly Waiting<T>[] {
    const { kind } = this;
    return [...this.entries.values()].flatMap(({ waiting, underWay, base }) => {
      const value = waiting ?? underWay;
      if (value === null) return [];
      return [{ kind, value, base, underWay: value === underWay ? null : underWay }];
    });
  }

  edit(value: T, base: Revision | null): void {
    const split = this.splits.get(this.idOf(value));
    if (split === undefined || (base !== null && base >= split.theirs)) this.take(value, base);
    else this.take(this.versionOf(value, split), split.mine.revision);
  }

  private take(value: T, base: Revision | null): void {
    const id = this.idOf(value);
    const entry = this.entries.get(id) ?? this.begin(id, base);
    if (entry.waiting === null) entry.since = this.deps.now();
    entry.waiting = value;
    entry.cancel?.();
    const left = entry.since + LONGEST - this.deps.now();
    entry.cancel = this.deps.after(Math.max(0, Math.min(PAUSE, left)), () => {
      void this.write(id);
    });
    this.show(id, { kind: 'unsaved', draft: value });
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

  private begin(id: string, base: Revision | null): Entry<T> {
    const entry: Entry<T> = {
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

  private async writeAll(id: string, entry: Entry<T>): Promise<void> {
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
  private async settle(id: string, entry: Entry<T>, draft: T): Promise<void> {
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
    entry: Entry<T>,
    draft: T,
    conflict: Extract<Conflict<Stored<T>>, { kind: 'changed' }>,
  ): Promise<void> {
    const { kind, deps } = this;
    const identity = kind.identityOf(draft);
    const created = new Date(deps.now()).toISOString();
    const title = deps.copyTitle(identity.title);
    const own = { ...identity, id: deps.newId(), parent: id, title, created };
    const result = await this.store.save(kind.withIdentity(draft, own), null);
    if (result.kind !== 'saved') {
      return this.refuse(id, entry, draft, result.kind === 'conflict' ? conflict : result);
    }
    const { stored: mine } = result;
    this.splits.set(id, { mine, theirs: conflict.theirs.revision, title: identity.title });
    const later = entry.waiting;
    entry.waiting = null;
    entry.base = conflict.theirs.revision;
    entry.cancel?.();
    this.show(id, { kind: 'kept both', theirs: conflict.theirs, mine });
    if (later !== null) this.edit(later, null);
  }

  private follow(entry: Entry<T>, stored: Stored<T>): void {
    if (entry.base !== null && entry.base !== stored.revision) {
      this.successors.set(entry.base, stored.revision);
    }
    entry.base = stored.revision;
  }

  /** The draft stays, unless a newer one has come meanwhile, which is tried in its turn. */
  private refuse(id: string, entry: Entry<T>, draft: T, why: Refusal | Conflict<Stored<T>>): void {
    entry.waiting ??= draft;
    entry.refused = true;
    this.show(id, { kind: 'refused', draft: entry.waiting, refusal: why });
  }

  private show(id: string, status: Status<T>): void {
    if (status === SAVED) this.statuses.delete(id);
    else this.statuses.set(id, status);
    this.changed();
  }

  private idOf(value: T): string {
    return this.kind.identityOf(value).id;
  }

  /** An edit as an edit of this window's own version. */
  private versionOf(value: T, { mine, title }: Split<T>): T {
    const edited = this.kind.identityOf(value);
    const own = this.kind.identityOf(mine.value);
    return this.kind.withIdentity(value, {
      ...edited,
      id: own.id,
      parent: own.parent,
      title: edited.title === title ? own.title : edited.title,
      created: own.created,
    });
  }
}
