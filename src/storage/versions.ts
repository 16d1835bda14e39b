import type { AnyKept, VersionMark, WhyKept } from '../core/library/versions';
import type { Kind } from '../io/kinds/kind';

/** An earlier version of something. */
export interface Version<T> extends VersionMark {
  readonly value: T;
}

/** Something as it was kept: the key of its record, and its text. */
export interface Replaced {
  readonly id: string;
  readonly text: string;
  /** `sealOf` it, where it was checked. */
  readonly sum?: number;
}

/** How much there is of all versions. */
export interface VersionsSize {
  readonly versions: number;
  /** Of all texts, by some of them: about. */
  readonly characters: number;
}

/** Which version of what: the key of its record. */
export interface VersionName extends VersionMark {
  readonly id: string;
}

/** What became of versions out of a file. */
export interface VersionsTaken {
  readonly came: readonly VersionName[];
  /** False where some could not be written. */
  readonly whole: boolean;
}

/** Some versions as a library file holds them. */
export interface VersionTexts {
  readonly texts: readonly string[];
  /** How many more there would be that cannot be read. */
  readonly unread: number;
}

/**
 * Earlier versions of all kinds that keep them, each named by the key of its record (`keyOf`), which of a
 * phrase is its id. Nothing here fails: what cannot be read or written costs an earlier version, never
 * what it is one of.
 */
export interface VersionKeeper {
  /** Takes what a save has written over; what is worth it is kept a moment later. */
  replaced(some: readonly Replaced[], now: number): void;
  /**
   * Resolves when all that was taken so far is written, so that no more waits in memory.
   * @returns false where anything that was ever taken could not be written.
   */
  settled(): Promise<boolean>;
  /** Keeps something as it stands, before something else takes its place. */
  keep<T>(kind: Kind<T>, value: T, why: WhyKept, now: number): Promise<void>;
  /** Those of one, the newest first; what cannot be read is left out. */
  list<T>(kind: Kind<T>, id: string): Promise<readonly Version<T>[]>;
  /** How much there is of these keys; null where it cannot be read. */
  size(of: ReadonlySet<string>): Promise<VersionsSize | null>;
  /**
   * All of these keys, some at a time.
   * @throws Error where nothing more can be read.
   */
  texts(of: ReadonlySet<string>): AsyncGenerator<VersionTexts, void>;
  /**
   * Takes what comes from a file. What is there already stays once, and what would have something else thinned away does not come in.
   * @returns those that are new, and whether all could be written.
   */
  take(some: readonly AnyKept[], now: number): Promise<VersionsTaken>;
  /** Takes back what came by `take`. @returns whether it could. */
  withdraw(some: readonly VersionName[]): Promise<boolean>;
  /** Of what is gone for good, by keys. */
  forget(keys: readonly string[]): void;
  /**
   * Throws away what belongs to nothing in the library, where nothing was kept for it since `before`:
   * it may still come back from the second copy, or from what was removed.
   * @param known Keys.
   */
  prune(known: ReadonlySet<string>, before: number): Promise<void>;
  /** Ends what is being written. */
  close(): Promise<void>;
}
