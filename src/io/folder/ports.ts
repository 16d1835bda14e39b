import type { Problem } from '../../core/result';
import type { AnyKind, Thing } from '../kinds/kind';

/** A file as a listing tells it. */
export interface Listed {
  /** From the folder on, with `/` between its parts. */
  readonly path: string;
  /** Another one where the file may have changed: its size and time. */
  readonly stamp: string;
}

/** The folder, as a browser or the system gives it. Failures of the whole folder are thrown. */
export interface Folder {
  /** The files that lie in it and in those of its folders that are named. */
  list(folders: ReadonlySet<string>): Promise<readonly Listed[]>;
  /** null where it is gone, cannot be read or is no text in UTF-8. */
  read(path: string): Promise<string | null>;
  /**
   * Writes a file whole or not at all, if it still holds `before` (null: is not there).
   * @returns its stamp, or null where nothing was written.
   */
  write(path: string, text: string, before: string | null): Promise<string | null>;
  /** Removes a file if it still holds `before`. */
  remove(path: string, before: string): Promise<boolean>;
}

export interface ThingName {
  readonly kind: AnyKind;
  readonly id: string;
}

/** What a library tells of a thing without reading it. */
export interface LibraryEntry extends ThingName {
  readonly title: string;
  /** Stands for the content: the same number, the same content. */
  readonly sum?: number;
}

/** What is to become of a thing of the library. */
export interface LibraryChange extends ThingName {
  /** What was found in the library; null: nothing. It is changed only if that is still so. */
  readonly was: unknown;
  /** null: it is removed. */
  readonly value: unknown;
}

/** The library, in a browser or a file. */
export interface CarriedLibrary {
  readonly kinds: readonly AnyKind[];
  entries(): Iterable<LibraryEntry>;
  /** Those that are there, in any order. */
  load(names: readonly ThingName[]): Promise<readonly Thing[]>;
  /** Whether something lies under a name that cannot be read now. It stands in no list. */
  cannotRead?(name: ThingName): boolean;
  /** Does something that takes many changes. */
  inBulk?<T>(work: () => Promise<T>): Promise<T>;
  /** @returns the keys (`keyOf`) of what was done, with its new number where it has one. */
  take(changes: readonly LibraryChange[]): Promise<ReadonlyMap<string, number | undefined>>;
}

/** Kind and id as one text. */
export function keyOf({ kind, id }: ThingName): string {
  return `${kind.name} ${id}`;
}

/** What one look at both sides did. */
export interface Carrying {
  readonly lines: readonly CarryingLine[];
  /** Files that are ours and cannot be read now. */
  readonly unreadable: readonly { readonly path: string; readonly problems: readonly Problem[] }[];
  /** Things that changed while they were looked at; the next look sees to them. */
  readonly waiting: number;
}

export interface CarryingLine extends ThingName {
  readonly title: string;
  readonly what:
    | 'new in the library'
    | 'changed in the library'
    | 'removed from the library'
    | 'new in the folder'
    | 'changed in the folder'
    | 'removed from the folder'
    /** Changed on both sides: this version is kept beside the other, under this id. */
    | 'kept as both';
}

/** What a look may be told. */
export interface CarryOptions {
  /** ISO 8601 in UTC. */
  readonly now: string;
  /** Reads every file, whatever its size and time say. */
  readonly thorough?: boolean;
  /**
   * Looks only at what has changed in the library since the last look, not at what there is in the
   * folder: for an edit that was just saved. The library must tell numbers (`sum`).
   */
  readonly quick?: boolean;
  /** Called between small pieces of work; may wait, and may throw to end the look. */
  readonly breathe?: () => Promise<void> | void;
  /** How far it is. */
  readonly progress?: (what: 'looking' | 'carrying', done: number, total: number) => void;
}
