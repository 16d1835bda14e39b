import type { PhraseFacts } from '../core/library/facts';
import type { Phrase } from '../core/phrase/types';
import type { Problem } from '../core/result';
import type { AnyKind, Checked, CheckedThing, Identity, Kind, Thing } from '../io/kinds/kind';
import type { VersionKeeper } from './versions';

/**
 * Number of one write to the library, from 1, counted over everything in it and never used twice: a
 * thing with the same revision is the same, in every window.
 */
export type Revision = number;

/** A thing of any kind as the library keeps it. */
export interface Stored<T> {
  readonly id: string;
  /** `sealOf` it: the same number stands for the same content, at every opening. */
  readonly sum: number;
  /** What it is called, where it comes from, when it was made; known without reading it. */
  readonly identity: Identity;
  /** `groupOf` its kind, if it has one. */
  readonly group: string | null;
  /**
   * Of a kind that is read on demand only what was just written or loaded has it.
   * @throws NotAtHand
   */
  readonly value: T;
  /** The value if it is at hand. */
  peek(): T | null;
  readonly revision: Revision;
  /** One of those the library began with, not changed since. */
  readonly sample: boolean;
}

/** What the library knows of a phrase without reading it; `load` reads it. */
export interface PhraseEntry {
  readonly id: string;
  /** The same number stands for the same phrase, at every opening; for what is kept about it. */
  readonly sum: number;
  readonly identity: Identity;
  /** The phrase if it is at hand: it was loaded, and not so many others since. */
  peek(): Phrase | null;
  readonly revision: Revision;
  /** One of the phrases the library began with, not changed since. */
  readonly sample: boolean;
}

/** A phrase as the library keeps it: just written, or loaded. */
export interface StoredPhrase extends PhraseEntry {
  readonly phrase: Phrase;
}

/**
 * - `opening`: nothing can be written yet.
 * - `blocked`: an older window holds the library open, and this newer program waits for it.
 * - `ready`: loaded; the only state in which anything is written.
 * - `outdated`: a newer program has opened the library; this window must be reloaded.
 * - `unavailable`: the browser keeps nothing (private window, storage switched off).
 * - `failed`: opening or loading did not succeed, or the browser cut the connection; see `reason`.
 * - `closed`: after `close`.
 */
export type LibraryState =
  | 'opening'
  | 'blocked'
  | 'ready'
  | 'outdated'
  | 'unavailable'
  | 'failed'
  | 'closed';

/** A record that cannot be read. It stays as it is until the user discards it. */
export interface StoreProblem {
  /**
   * `damaged`: what is there is not valid; `too new`: written by a newer program;
   * `unreadable`: the browser cannot give it back.
   */
  readonly kind: 'damaged' | 'too new' | 'unreadable';
  /** Identifies the record for `discard`. */
  readonly key: string;
  /** The title, if one can be made out. */
  readonly title: string | null;
  readonly problems: readonly Problem[];
  /** What is stored, as text to export; null when it cannot be read. */
  readonly raw: string | null;
}

/** What the browser did to the library since it was last open. */
export type Mishap =
  /** It had thrown its database away; so many phrases were brought back from the second copy. */
  | { readonly kind: 'restored'; readonly phrases: number }
  /** It had thrown its database away, and there was no second copy. */
  | { readonly kind: 'lost' };

/**
 * Where the second copy of the library stands.
 * - `none`: this browser keeps none.
 * - `whole`: everything that was acknowledged is copied.
 * - `late`: something is not copied yet: the folder fails, is full or does not answer.
 * - `missing`: a newer program keeps the copy, and this window leaves it alone.
 */
export type CopyState = 'none' | 'whole' | 'late' | 'missing';

/** What a long list begins with, known before the library is open. */
export interface Front {
  /** How many phrases the library has. */
  readonly total: number;
  /** The first of them by title, at hand. */
  readonly phrases: readonly PhraseEntry[];
  /** Theirs, in that order. */
  readonly facts: readonly PhraseFacts[];
}

/** What was read of a phrase for a list, with what it was read from. */
export interface KnownFacts {
  readonly id: string;
  readonly sum: number;
  readonly facts: PhraseFacts;
}

/** All that is known of the library at one moment; a new object only when something changed. */
export interface LibrarySnapshot {
  readonly state: LibraryState;
  /** Why the state is neither `ready` nor `opening`, in words for the user. */
  readonly reason: Problem | null;
  /** In no particular order; an entry is the same object until its phrase changes. */
  readonly phrases: readonly PhraseEntry[];
  /** How the phrases differ from the list before: ids of what came, changed or went. */
  readonly news: { readonly before: readonly PhraseEntry[]; readonly ids: ReadonlySet<string> };
  /** How the list begins: while a large library opens, and until it changes. */
  readonly front: Front | null;
  readonly problems: readonly StoreProblem[];
  /** Records read so far while opening a large library. */
  readonly progress: { readonly done: number; readonly total: number } | null;
  /** Found on opening; say it to the user. */
  readonly mishap: Mishap | null;
  /** `late` and `missing` are to be told to the user: until then nothing stands in for the database. */
  readonly copy: CopyState;
  /** Whether the browser has promised not to clear the library by itself; null: not known. */
  readonly persisted: boolean | null;
  /** False for a library that is gone when the window closes. */
  readonly lasting: boolean;
}

/** Why nothing was written. What was to be written is still in the caller's hands. */
export type Refusal =
  /** The device or the browser's share of it is full. In bytes, where the browser tells, and as it tells. */
  | { readonly kind: 'quota'; readonly usage: number | null; readonly quota: number | null }
  /** The library is not open for writing. */
  | { readonly kind: 'not ready'; readonly state: Exclude<LibraryState, 'ready'> }
  /** It breaks the rules of its kind, and could not be opened again. */
  | { readonly kind: 'invalid'; readonly id: string; readonly problems: readonly Problem[] }
  | { readonly kind: 'failed'; readonly problem: Problem };

/** What stands in the way of a save made from an older revision. */
export type Conflict<S = StoredPhrase> =
  /** Changed since, in another window. */
  | { readonly kind: 'changed'; readonly id: string; readonly theirs: S }
  /** Removed since; `revision` is the base with which it may be saved all the same. */
  | { readonly kind: 'removed'; readonly id: string; readonly revision: Revision }
  /** Never was there, or removed so long ago that nothing is left; save with base null. */
  | { readonly kind: 'missing'; readonly id: string }
  /** A record that cannot be read stands under this id. */
  | { readonly kind: 'damaged'; readonly id: string; readonly problem: StoreProblem };

/** `saved` only once the write is on the disk. */
export type SaveResult<S = StoredPhrase> =
  | { readonly kind: 'saved'; readonly stored: S }
  | { readonly kind: 'conflict'; readonly conflict: Conflict<S> }
  | Refusal;

export interface SaveItem {
  readonly phrase: Phrase;
  /** The revision it was made from; null for a phrase that is new to the library. */
  readonly base: Revision | null;
}

/** All or nothing: one conflict, and none is written. */
export type SaveAllResult<S = StoredPhrase> =
  | { readonly kind: 'saved'; readonly stored: readonly S[] }
  | { readonly kind: 'conflicts'; readonly conflicts: readonly Conflict<S>[] }
  | Refusal;

/** What became of one thing that came from outside. */
export type Added<S = StoredPhrase> =
  | { readonly kind: 'added'; readonly stored: S }
  /** The very same was there. */
  | { readonly kind: 'same'; readonly stored: S }
  /** Another has its id: it was added under a new one, as a child of that other. */
  | { readonly kind: 'copied'; readonly stored: S; readonly from: string };

/** In the order given. All or nothing. */
export type AddResult<S = StoredPhrase> =
  | { readonly kind: 'saved'; readonly added: readonly Added<S>[] }
  | Refusal;

/** The ids that were there to be removed, or restored. */
export type RemoveResult = { readonly kind: 'done'; readonly ids: readonly string[] } | Refusal;

export type SeedResult =
  | { readonly kind: 'seeded'; readonly stored: readonly StoredPhrase[] }
  /** They were laid in before, here or in another window; nothing was written. */
  | { readonly kind: 'seeded before' }
  | Refusal;

/** Everything of one kind in the library. */
export interface KindStore<T> {
  readonly kind: Kind<T>;
  /** In no particular order; the same list until one of them changes. */
  all(): readonly Stored<T>[];
  /** The same object until it changes; null where there is none. Costs the same in any library. */
  get(id: string): Stored<T> | null;
  /** Of a kind with groups: all of one, as `all`, which `load` reads. Costs the same in any library. */
  inGroup(group: string): readonly Stored<T>[];
  /** Reads things, in the order given, without those that are not there; memory holds all of them. */
  load(ids: readonly string[]): Promise<readonly Stored<T>[]>;
  /** As a library file has them, some at a time, without those that cannot be read; see `texts.ts`. */
  texts(ids: readonly string[]): AsyncIterable<readonly string[]>;
  /** Writes one, if nobody has written it since `base` (null: it is new). */
  save(value: T, base: Revision | null): Promise<SaveResult<Stored<T>>>;
  saveAll(items: readonly KindItem<T>[]): Promise<SaveAllResult<Stored<T>>>;
  /** Takes what comes from a file; never writes over what is there. */
  add(values: readonly T[]): Promise<AddResult<Stored<T>>>;
  /** Takes what was checked already, a moment ago, by this program: in a worker. */
  addChecked(items: readonly Checked<T>[]): Promise<AddResult<Stored<T>>>;
  /**
   * Undoes an `add` that is part of something that failed: what it added and nobody has changed since
   * is gone for good.
   */
  withdraw(added: readonly Stored<T>[]): Promise<RemoveResult>;
  /** Takes them out of the library; `restore` brings them back for 30 days. */
  remove(ids: readonly string[]): Promise<RemoveResult>;
  restore(ids: readonly string[]): Promise<RemoveResult>;
}

export interface KindItem<T> {
  readonly value: T;
  /** The revision it was made from; null for what is new to the library. */
  readonly base: Revision | null;
}

/** The name of a thing in the library: its kind and its id. */
export interface ThingName {
  readonly kind: AnyKind;
  readonly id: string;
}

/** What is done to things of several kinds at once, all or nothing. */
export interface ThingStore {
  /**
   * Takes what comes from a file; never writes over what is there. What is added under a new id is
   * named by that id in everything that comes with it, where it stands after it.
   */
  add(things: readonly Thing[]): Promise<AddResult<Stored<unknown>>>;
  /**
   * Takes what was checked already, a moment ago, by this program: in a worker.
   * @param renamed New ids of what came in before, by `nameOf` their kind and id in the file.
   */
  addChecked(
    things: readonly CheckedThing[],
    renamed?: ReadonlyMap<string, string>,
  ): Promise<AddResult<Stored<unknown>>>;
  /** As `KindStore.withdraw`. */
  withdraw(added: readonly (ThingName & { readonly revision: Revision })[]): Promise<ThingsResult>;
  remove(things: readonly ThingName[]): Promise<ThingsResult>;
  restore(things: readonly ThingName[]): Promise<ThingsResult>;
  /** What was removed and can be brought back, in no particular order; read anew at each call. */
  removed(): readonly RemovedThing[];
  /** Reads what was removed, in the order given; null for what is gone, or cannot be read. */
  readRemoved(things: readonly ThingName[]): Promise<readonly (Thing | null)[]>;
  /** Deletes what was removed for good; what has come back meanwhile stays. Ask before. */
  forget(things: readonly ThingName[]): Promise<ThingsResult>;
}

/** Something that was removed. */
export interface RemovedThing extends ThingName {
  /** Milliseconds since 1970. */
  readonly removed: number;
}

/** What was there to be removed, or restored. */
export type ThingsResult =
  | { readonly kind: 'done'; readonly things: readonly ThingName[] }
  | Refusal;

/** What there is in memory, phrases read on demand; each change is one transaction. Phrases are `of` their kind. */
export interface LibraryStore {
  snapshot(): LibrarySnapshot;
  /** What it can hold. */
  readonly kinds: readonly AnyKind[];
  /** Everything of one kind. @throws RangeError for a kind that this library does not have. */
  of<T>(kind: Kind<T>): KindStore<T>;
  /** Everything of all kinds. */
  readonly things: ThingStore;
  /** Earlier versions of phrases; null where none are kept. */
  readonly versions: VersionKeeper | null;
  /**
   * Does something in many transactions; the snapshot shows what came of all of them when it ends,
   * since every snapshot costs what the library holds.
   */
  inBulk<T>(work: () => Promise<T>): Promise<T>;
  /** A phrase by its id; costs the same in any library. */
  phrase(id: string): PhraseEntry | null;
  /** Reads a phrase, the same object while it is at hand; null where there is none, or it is damaged, as the snapshot then tells. */
  load(id: string): Promise<StoredPhrase | null>;
  /** Reads many, in the order given and without those that are not there; memory holds all of them. */
  loadAll(ids: readonly string[]): Promise<readonly StoredPhrase[]>;
  /** `texts` of phrases. */
  texts(ids: readonly string[]): AsyncIterable<readonly string[]>;
  /** Looks at every record, in slices; what is damaged is in the snapshot when it ends. */
  lookThrough(): Promise<void>;
  /** @returns a function that ends the subscription. */
  subscribe(listener: () => void): () => void;
  /** Resolves with the state once it is neither `opening` nor `blocked`. */
  opened(): Promise<LibraryState>;
  /** Opens again after `failed`. */
  reopen(): Promise<LibraryState>;
  /** Writes one phrase, if nobody has written it since `base` (null: it is new). */
  save(phrase: Phrase, base: Revision | null): Promise<SaveResult>;
  saveAll(items: readonly SaveItem[]): Promise<SaveAllResult>;
  /** Takes phrases from a file; never writes over a phrase that is there. */
  add(phrases: readonly Phrase[]): Promise<AddResult>;
  /** Takes phrases out of the library; `restore` brings them back for 30 days. */
  remove(ids: readonly string[]): Promise<RemoveResult>;
  restore(ids: readonly string[]): Promise<RemoveResult>;
  /**
   * Lays in the first phrases, once in the life of the library. They come with the program,
   * are known to be valid, and have their fields in the order of the schema.
   */
  seedSamples(phrases: readonly Phrase[]): Promise<SeedResult>;
  /** Removes the samples that are as they were; `restore` brings them back. */
  removeSamples(): Promise<RemoveResult>;
  /** Deletes damaged records for good, by the keys of their problems. Ask before. */
  discard(keys: readonly string[]): Promise<RemoveResult>;
  /**
   * Keeps what a long list begins with, so that the next opening shows it at once; best effort.
   * @param of The list of the snapshot that it begins.
   * @param first The first by title.
   */
  keepFront(of: readonly PhraseEntry[], first: readonly KnownFacts[]): void;
  /** Reads what other windows have written; for when a window comes back into view. */
  refresh(): Promise<void>;
  /** Ends what is being written, then closes. */
  close(): Promise<void>;
  /**
   * Called before the library closes, by `close` or for a newer program; it stays open for writing
   * until the promise is settled.
   * @returns a function that takes it back.
   */
  onClosing(flush: () => Promise<void>): () => void;
}
