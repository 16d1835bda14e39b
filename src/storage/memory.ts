import type { Phrase } from '../core/phrase/types';
import type { AnyKind } from '../io/kinds/kind';
import { type Backend, NotOpened } from './backend';
import type { LibraryDeps } from './deps';
import { memoryBackend } from './memory-backend';
import { createLibrary } from './store';
import type { LibraryState, LibraryStore, Refusal } from './types';

export interface MemoryStoreOptions extends Partial<LibraryDeps> {
  /** What the library holds at the beginning. */
  readonly phrases?: readonly Phrase[];
  /** What it can hold; usually all that this program knows. */
  readonly kinds?: readonly AnyKind[];
  /** Records that cannot be read, by their keys. */
  readonly damaged?: Readonly<Record<string, string>>;
  /** How the opening ends; `opening` and `blocked` never end. */
  readonly state?: Exclude<LibraryState, 'closed'>;
  /** Asked before every write; what it returns is the write's end. */
  readonly refuse?: () => Refusal | null;
}

/**
 * A library that lasts as long as the window: for browsers that keep nothing, and for tests, in
 * which it can be made to refuse. `opened()` resolves once it is ready.
 */
export function createMemoryStore(options: MemoryStoreOptions = {}): LibraryStore {
  const backend = memoryBackend(options.refuse);
  for (const [i, phrase] of (options.phrases ?? []).entries()) {
    const text = JSON.stringify(phrase);
    backend.values.set(phrase.id, { id: phrase.id, revision: i + 1, text });
  }
  for (const [id, text] of Object.entries(options.damaged ?? {})) {
    backend.values.set(id, { id, revision: backend.values.size + 1, text });
  }
  let last = 0;
  const deps: LibraryDeps = {
    now: () => Date.now(),
    newId: () => `copy-${++last}`,
    channel: null,
    persistence: null,
    estimate: async () => ({ usage: null, quota: null }),
    ...options,
  };
  return createLibrary(withState(backend, options.state ?? 'ready'), deps, options.kinds);
}

/** The same records behind an opening that ends as told. */
function withState(backend: Backend, state: Exclude<LibraryState, 'closed'>): Backend {
  if (state === 'ready') return backend;
  return {
    ...backend,
    open(events) {
      if (state === 'blocked') events.blocked();
      if (state === 'blocked' || state === 'opening') return new Promise(() => {});
      return Promise.reject(
        new NotOpened(state, { message: `the library is ${state}`, fix: 'Open the program anew.' }),
      );
    },
  };
}
