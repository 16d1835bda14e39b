import type { Problem } from '../core/result';
import type { AnyKind } from '../io/kinds/kind';
import type { Head, LogEnd, Named } from './head';
import type { Item, RawRecord, StoredRecord } from './record';
import type { CopyState, KnownFacts, LibraryState, Mishap, Refusal, Revision } from './types';

/**
 * Names of the single values that the library keeps beside the records: the number of the last
 * write, when the samples were laid in, a mark of a database that was never compared with its
 * second copy, when a start last found something that was removed long enough ago, how far the
 * heads of the records have been written, when all records were last looked at, and what a write
 * wrote over that may not be an earlier version yet (`noted.ts`).
 */
export type MetaName = 'sequence' | 'samples' | 'fresh' | 'over' | 'heads' | 'looked' | NoteName;

/** By the first number that the write gave. */
export type NoteName = `past ${Revision}`;

/**
 * The records, inside one writing transaction. Its promises are the only ones that may be awaited
 * there: a transaction ends by itself as soon as it has nothing to do.
 */
export interface Records {
  /** @returns undefined when there is none. */
  get(key: string): Promise<unknown>;
  /** @param named What it is called, where it comes from, and its group. */
  put(record: StoredRecord, named: Named | 'as before'): Promise<void>;
  /** Writes a record again that says what it said: the second copy need not follow. */
  amend(record: StoredRecord, named: Named): Promise<void>;
  delete(key: string): Promise<void>;
  /** The highest revision of any record, 0 for none. */
  lastRevision(): Promise<Revision>;
  meta(name: MetaName): Promise<unknown>;
  /** @param value Undefined: there is none any more. */
  setMeta(name: MetaName, value: unknown): Promise<void>;
}

/** What happens to an open library without its doing. */
export interface BackendEvents {
  /** The opening waits for an older window to close. */
  blocked(): void;
  /** A newer program wants to open the library, and waits until this one calls `close`. */
  newer(): void;
  /** The library is being deleted, which waits for `close`. */
  deleted(): void;
  /** The browser has cut the connection. */
  lost(): void;
  /** Where the second copy stands, now and whenever that changes. */
  copy(state: CopyState): void;
  /** Records came back from the second copy after the opening; so many are phrases. */
  restored(phrases: number): void;
}

/** What was found on opening. */
export interface Opened {
  readonly mishap: Mishap | null;
  /**
   * What a look at the second copy finds, which goes on while records are read already. Nothing is to
   * be written before.
   */
  readonly compared?: Promise<Looked>;
}

export interface Looked {
  readonly mishap: Mishap | null;
  /** Something came back, or may have before it failed: all is to be read again. */
  readonly again: boolean;
}

/** What a long list begins with, as it is kept. */
export interface KeptFront {
  /** It is that of the library as it was when the log of heads ended here. */
  readonly end: LogEnd;
  readonly total: number;
  readonly first: readonly KnownFacts[];
}

/** The same with the first few phrases. */
export interface ReadFront extends KeptFront {
  readonly items: readonly Item[];
}

/** Where records are kept. `createLibrary` makes a library of any of them. */
export interface Backend {
  /** Whether records outlive the window. */
  readonly lasting: boolean;
  /** @throws NotOpened */
  open(events: BackendEvents): Promise<Opened>;
  /** Keys of all records, ascending. */
  keys(): Promise<readonly string[]>;
  /** The records under `keys`, in that order, without those that are gone. Never fails for one of them. */
  read(keys: readonly string[]): Promise<readonly RawRecord[]>;
  /**
   * What is known of all records without reading them; null in a library of a few, which are read, and
   * where records are in memory anyway. What older programs wrote is read for it once.
   */
  heads?(
    kinds: readonly AnyKind[],
    progress: (done: number, total: number) => void,
  ): Promise<readonly Head[] | null>;
  /** So many records in the order of their keys, those after `after` (null: the first). */
  page(after: string | null, many: number): Promise<readonly RawRecord[]>;
  /** How many records lie there. */
  count?(): Promise<number>;
  /** What was noted by any window and not crossed out, as it is stored. */
  noted?(): Promise<ReadonlyMap<NoteName, unknown>>;
  /** When all records were last looked at, in ms since 1970, as it is stored. */
  looked?(): Promise<unknown>;
  /** Writes the heads more tightly where that is worth while; what is known stays as it is. */
  tidyHeads?(): Promise<void>;
  /** Something may be missing in the heads: all records are to be looked at. */
  readonly gap?: boolean;
  /** Of these records they were found to be of an older revision. */
  mendHeads?(keys: readonly string[]): Promise<void>;
  /** They were found wrong, and are written anew from the records at the next opening. */
  forgetHeads?(): Promise<void>;
  /**
   * What a long list began with when it was shown last, if nothing at all was written since; null in
   * a library of a few, and in any doubt.
   */
  front?(): Promise<ReadFront | null>;
  /** Keeps it for the next opening. */
  keepFront?(front: KeptFront): Promise<void>;
  /** Where the log of heads ends. */
  logEnd?(): Promise<LogEnd>;
  /**
   * Keys of what was deleted between two ends of the log, and not written again; null where the code
   * for it did not come.
   */
  deleted?(from: LogEnd, to: LogEnd): Promise<readonly string[] | null>;
  /** Keys of the records written after `revision`. */
  since(revision: Revision): Promise<readonly string[]>;
  /** The number of the last write. */
  sequence(): Promise<Revision>;
  /**
   * Runs a transaction, and resolves with what `run` returned once every write of it is on the
   * disk. If `run` throws, nothing is written. The transaction begins before this returns.
   */
  write<T>(run: (records: Records) => Promise<T>): Promise<T>;
  /** Transactions that have begun still end; harmless when there is no connection. */
  close(): void;
}

/** Why a library could not be opened. */
export class NotOpened extends Error {
  constructor(
    readonly state: Extract<LibraryState, 'outdated' | 'unavailable' | 'failed'>,
    readonly problem: Problem,
  ) {
    super(problem.message);
    this.name = 'NotOpened';
  }
}

/** Thrown by a backend that knows what a write was refused for. */
export class WriteRefused extends Error {
  constructor(readonly refusal: Refusal) {
    super(`refused: ${refusal.kind}`);
    this.name = 'WriteRefused';
  }
}

/** The next write's number: above everything that is there, even where the stored number is lost. */
export async function nextRevision(records: Records): Promise<Revision> {
  const [stored, last] = await Promise.all([records.meta('sequence'), records.lastRevision()]);
  return Math.floor(Math.max(sequenceOf(stored), last)) + 1;
}

/** The stored number of the last write; 0 where there is none or it makes no sense. */
export function sequenceOf(stored: unknown): Revision {
  return typeof stored === 'number' && Number.isSafeInteger(stored) && stored > 0 ? stored : 0;
}
