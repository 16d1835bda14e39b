import type { Phrase } from '../core/phrase/types';
import type { Kind } from '../io/kinds/kind';
import { PHRASES } from '../io/kinds/kinds';
import { statusOfPhrase } from './as-phrase';
import type { EditQueue, SaveQueue, SaveStatus, Waiting } from './edit-types';
import { KindQueue, type QueueDeps } from './kind-queue';
import type { LibraryStore, Revision } from './types';

export type { QueueDeps } from './kind-queue';

/** A queue before a library. It closes and opens with it. */
export function createSaveQueue(store: LibraryStore, deps: QueueDeps): SaveQueue {
  return new Queue(store, deps);
}

/** A queue of each kind that is edited, and what is said of phrases. */
class Queue implements SaveQueue {
  private readonly queues = new Map<string, AnyQueue>();
  private readonly listeners = new Set<() => void>();
  private readonly phrases: KindQueue<Phrase>;

  constructor(
    private readonly store: LibraryStore,
    private readonly deps: QueueDeps,
  ) {
    this.phrases = this.of(PHRASES);
    store.onClosing(() => this.flush());
    let state = store.snapshot().state;
    store.subscribe(() => {
      const now = store.snapshot().state;
      if (now === 'ready' && state !== 'ready') void this.flush();
      state = now;
    });
  }

  of<T>(kind: Kind<T>): KindQueue<T> {
    // What stands under a kind's name was made for that kind.
    const known = this.queues.get(kind.name) as KindQueue<T> | undefined;
    if (known !== undefined) return known;
    const made = new KindQueue(kind, this.store.of(kind), this.deps, () => this.tell());
    this.queues.set(kind.name, made as AnyQueue);
    return made;
  }

  edit(phrase: Phrase, base: Revision | null): void {
    this.phrases.edit(phrase, base);
  }

  status(id: string): SaveStatus {
    return statusOfPhrase(this.phrases.status(id));
  }

  retry(id: string): Promise<void> {
    return this.phrases.retry(id);
  }

  dismiss(id: string): void {
    this.phrases.dismiss(id);
  }

  abandon(id: string): void {
    this.phrases.abandon(id);
  }

  unsaved(): boolean {
    return [...this.queues.values()].some((q) => q.unsaved());
  }

  waiting(): readonly Waiting[] {
    return [...this.queues.values()].flatMap((q) => q.waiting());
  }

  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => {
      this.listeners.delete(listener);
    };
  }

  async flush(): Promise<void> {
    await Promise.all([...this.queues.values()].map((q) => q.flush()));
  }

  private tell(): void {
    for (const listener of [...this.listeners]) listener();
  }
}

/** A queue of which nothing but what all have is asked. */
type AnyQueue = EditQueue<unknown> & Pick<KindQueue<unknown>, 'unsaved' | 'waiting' | 'flush'>;
