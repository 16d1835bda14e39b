import type { Phrase } from '../core/phrase/types';
import type { Kind } from '../io/kinds/kind';
import type { Conflict, Refusal, Revision, Stored, StoredPhrase } from './types';

/** Where the edits of one thing stand. */
export type SaveStatus<T = Phrase, S = StoredPhrase> =
  /** Nothing is waiting. */
  | { readonly kind: 'saved' }
  /** Edited; not yet on the disk. Show the draft. */
  | { readonly kind: 'unsaved'; readonly draft: T }
  | { readonly kind: 'saving'; readonly draft: T }
  /**
   * Edited in another window too. Theirs keeps the id; mine was saved under its own id as a child.
   * Edits still made from the older revision go to mine: show mine, and say so. Until `dismiss`.
   */
  | { readonly kind: 'kept both'; readonly theirs: S; readonly mine: S }
  /** Removed in another window while edited here: it is back, as edited. Until `dismiss`. */
  | { readonly kind: 'kept removed'; readonly stored: S }
  /** Could not be written; the draft is only in this window. `retry`, export or `abandon`. */
  | { readonly kind: 'refused'; readonly draft: T; readonly refusal: Refusal | Conflict<S> };

/** An edit that is not on the disk. */
export interface Waiting<T = unknown> {
  readonly kind: Kind<T>;
  readonly value: T;
  /** Revision that it was made from. */
  readonly base: Revision | null;
  /** An older version that is being written at this moment; null where none is, or it is the newest. */
  readonly underWay: T | null;
}

/**
 * Saves edits of one kind as they come: the newest version of each thing, never two writes of it at
 * once. What is edited here is to be saved by the queue only.
 */
export interface EditQueue<T, S = Stored<T>> {
  /**
   * Takes a new version.
   * @param base Revision of what is stored that the editing began with; null for what is new.
   */
  edit(value: T, base: Revision | null): void;
  /** The same object until it changes. */
  status(id: string): SaveStatus<T, S>;
  /** Tries a refused draft again. */
  retry(id: string): Promise<void>;
  /** The message of `kept both` or `kept removed` has been seen. */
  dismiss(id: string): void;
  /** Gives a draft up. */
  abandon(id: string): void;
}

/** The edits of all kinds; what is said of one thing without a kind is said of a phrase. */
export interface SaveQueue extends EditQueue<Phrase, StoredPhrase> {
  /** The edits of one kind. @throws RangeError for a kind that the library does not have. */
  of<T>(kind: Kind<T>): EditQueue<T>;
  /** Whether anything is not yet on the disk, for a warning before the window closes. */
  unsaved(): boolean;
  /** What no finished write holds: the newest version of each thing and the one being written. */
  waiting(): readonly Waiting[];
  /** Told of every change of a status, of any kind. */
  subscribe(listener: () => void): () => void;
  /** Writes everything now; resolves when all of it is written or refused. */
  flush(): Promise<void>;
}
