import { ok, type Result } from '../../core/result';
import type { MigrationSequence } from '../json/migrate';

/** What all things in a library have, whatever their kind. */
export interface Identity {
  /** Printable ASCII without spaces, up to 200 characters; one of its kind has it. */
  readonly id: string;
  /** Id of what it was made from; null where it was made from nothing. */
  readonly parent: string | null;
  readonly title: string;
  /** ISO 8601 in UTC. */
  readonly created: string;
  readonly modified: string;
}

/**
 * A kind of thing that a library keeps: a row of `KINDS`. Files and storage know a kind by nothing
 * else, so that each has the same guarantees: checked at the door, kept in transactions, migrated,
 * copied twice, and never lost when it cannot be read.
 */
export interface Kind<T> {
  /** One lower-case word; the beginning of its records' keys. */
  readonly name: string;
  /** What people call one of it, in lower case, with an s for more: `phrase`, `song form`. */
  readonly noun: string;
  /** The format that its documents name, and how they come from any version to the newest. */
  readonly versions: MigrationSequence;
  /**
   * One of it from JSON text or a value already parsed: migrated, structure and sense checked. Never
   * throws, once `ready`; `ChecksNotCome` before. Time and memory are bounded.
   */
  decode(input: unknown): Result<T>;
  /** Of a kind whose checks come late: to be waited for before `decode`. */
  ready?(): Promise<void>;
  /** What is written over stays as an earlier version (`core/library/versions.ts`). */
  readonly keepsPast?: true;
  /** There may be so many of it that a library reads one when somebody looks at it. */
  readonly onDemand?: true;
  /**
   * Of a kind that is read on demand and by groups: what those of one group have in common. Known of each
   * without reading it.
   */
  groupOf?(value: T): string;
  identityOf(value: T): Identity;
  /** The same under another identity; nothing else of it changes. */
  withIdentity(value: T, identity: Identity): T;
  /**
   * Of a kind that names other things by their ids: the same with every id that `to` gives for the
   * one it names. Asked when something that it names came in under another id.
   */
  withReferences?(value: T, to: (kind: string, id: string) => string): T;
  /**
   * Of a kind of which two with one id become one where `key` gives the same for both, so that nothing
   * of either is lost; elsewhere two versions are kept as both.
   */
  readonly joining?: { key(value: T): string; join(a: T, b: T): T };
}

/** Something of any kind. */
export interface Thing<T = unknown> {
  readonly kind: Kind<T>;
  readonly value: T;
}

/** Something that was checked, with the text in which it is kept: fields in the order of the schema. */
export interface Checked<T> {
  readonly value: T;
  readonly text: string;
}

/** Something of any kind that was checked. */
export interface CheckedThing extends Thing {
  readonly text: string;
}

/** Checks one thing, from text or a value, as `decode` does. */
export function check<T>(kind: Kind<T>, input: unknown): Result<Checked<T>> {
  const read = kind.decode(input);
  return read.ok ? ok({ value: read.value, text: JSON.stringify(read.value) }) : read;
}

/** Waits until all of them can be checked. */
export async function readyFor(kinds: Iterable<AnyKind>): Promise<void> {
  for (const kind of new Set(kinds)) await kind.ready?.();
}

/** A kind of which nothing but the methods of its row is known. */
export type AnyKind = Kind<unknown>;
