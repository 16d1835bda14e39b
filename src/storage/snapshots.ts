import type { Problem } from '../core/result';
import type { CopyState, Front, LibrarySnapshot, LibraryState, Mishap, PhraseEntry } from './types';

const NO_PHRASES: readonly PhraseEntry[] = [];

/** What is known of the library at each moment, and who listens. */
export class Snapshots {
  protected current: LibrarySnapshot;
  private readonly listeners = new Set<() => void>();

  constructor(lasting: boolean) {
    this.current = {
      state: 'opening',
      reason: null,
      phrases: NO_PHRASES,
      news: { before: NO_PHRASES, ids: new Set() },
      front: null,
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

  setFront(front: Front | null): void {
    if (front !== this.current.front) this.publish({ ...this.current, front });
  }

  protected publish(snapshot: LibrarySnapshot): void {
    this.current = snapshot;
    for (const listener of [...this.listeners]) listener();
  }
}
