import type { KeptVersion, VersionMark, WhyKept } from '../core/library/versions';
import type { Phrase } from '../core/phrase/types';

/** An earlier version of a phrase. */
export interface Version extends VersionMark {
  readonly phrase: Phrase;
}

/** A phrase as it was kept: its id, and the text of its record. */
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

/** Which version of which phrase. */
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
 * Earlier versions of phrases. Nothing here fails: what cannot be read or written costs an earlier
 * version, never the phrase.
 */
export interface VersionKeeper {
  /** Takes what a save has written over; what is worth it is kept a moment later. */
  replaced(some: readonly Replaced[], now: number): void;
  /** Resolves when all that was taken so far is kept, so that no more waits in memory. */
  settled(): Promise<void>;
  /** Keeps a phrase as it stands, before something else takes its place. */
  keep(phrase: Phrase, why: WhyKept, now: number): Promise<void>;
  /** Those of one phrase, the newest first; what cannot be read is left out. */
  list(id: string): Promise<readonly Version[]>;
  /** How much there is of these phrases; null where it cannot be read. */
  size(of: ReadonlySet<string>): Promise<VersionsSize | null>;
  /**
   * All of these phrases, some at a time.
   * @throws Error where nothing more can be read.
   */
  texts(of: ReadonlySet<string>): AsyncGenerator<VersionTexts, void>;
  /**
   * Takes what comes from a file. What is there already stays once, and what would have something else thinned away does not come in.
   * @returns those that are new, and whether all could be written.
   */
  take(some: readonly KeptVersion[], now: number): Promise<VersionsTaken>;
  /** Takes back what came by `take`. @returns whether it could. */
  withdraw(some: readonly VersionName[]): Promise<boolean>;
  /** Of phrases that are gone for good. */
  forget(ids: readonly string[]): void;
  /**
   * Throws away what belongs to no phrase of the library, where nothing was kept for it since `before`:
   * a phrase may still come back from the second copy, or from what was removed.
   */
  prune(known: ReadonlySet<string>, before: number): Promise<void>;
  /** Ends what is being written. */
  close(): Promise<void>;
}
