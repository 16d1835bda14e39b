import type { RecordHead } from '../phrase/record';
import type { Phrase } from '../phrase/types';
import { baseOf } from './merge';

/** Why an earlier version was kept. */
export type WhyKept =
  /** Something was changed after it had stood for a while. */
  | 'edit'
  /** An earlier version was put in its place. */
  | 'restore'
  /** One of two versions was chosen. */
  | 'merge';

/** An earlier version, without its content. */
export interface VersionMark {
  /** When something else took its place, in milliseconds since 1970. */
  readonly kept: number;
  /** When it was written itself. */
  readonly made: number;
  readonly why: WhyKept;
}

/** An earlier version of a phrase as a library file holds it. */
export interface KeptVersion {
  readonly format: 'degreewise-version';
  readonly version: 1;
  /** ISO 8601 in UTC: when something else took its place. */
  readonly kept: string;
  readonly why: WhyKept;
  /** As it stood; its id says of which phrase it is. */
  readonly phrase: Phrase;
}

/** The same of anything else that keeps earlier versions: a lesson, a song form, a collection, a plan. */
export interface KeptThing {
  readonly format: 'degreewise-earlier';
  readonly version: 1;
  readonly kept: string;
  readonly why: WhyKept;
  /** As it stood; its format and id say of what it is. */
  readonly thing: RecordHead<string, number>;
}

export type AnyKept = KeptVersion | KeptThing;

/** What follows another version within this time, in milliseconds, belongs to one sitting, which undoing takes apart. */
export const SITTING = 600_000;

/** What is known of a thing without reading it. */
interface Named {
  readonly id: string;
  readonly parent: string | null;
  readonly created: string;
}

/**
 * The id of the phrase, or other thing, that this one is another version of: it came in under an id of its own, since
 * both were changed (a merge, a file, another window). It was made at the same moment, so what was
 * moved or varied is none, nor what somebody has kept beside it (`apart`).
 * @returns null where it is no other version; the phrase named need not be there.
 */
export function versionOf({ id, parent }: Named): string | null {
  const base = baseOf(id);
  return base !== id ? base : parent;
}

/** Whether two phrases are versions of one; see `versionOf`. */
export function areVersions(a: Named, b: Named): boolean {
  if (a.created !== b.created || a.id === b.id) return false;
  return a.parent === b.id || b.parent === a.id || baseOf(a.id) === baseOf(b.id);
}
