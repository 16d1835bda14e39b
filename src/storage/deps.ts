import type { VersionKeeper } from './versions';

/** Word between the windows of one browser: something was written. */
export interface Channel {
  tell(): void;
  listen(heard: () => void): void;
  close(): void;
}

/** The browser's promise not to clear the library when space runs low. */
export interface Persistence {
  persisted(): Promise<boolean>;
  persist(): Promise<boolean>;
}

/** What the library takes from its surroundings. */
export interface LibraryDeps {
  /** Milliseconds since 1970. */
  now(): number;
  /** An id that no other phrase has. */
  newId(): string;
  readonly channel: Channel | null;
  /** Keeps earlier versions of phrases; none where it is missing. */
  readonly versions?: VersionKeeper;
  readonly persistence: Persistence | null;
  /** Bytes used and allowed, or null where the browser does not tell. */
  estimate(): Promise<{ readonly usage: number | null; readonly quota: number | null }>;
  /** Throws away what can be made anew. @returns whether there was any. */
  makeRoom?(): Promise<boolean>;
}
