import type { Phrase } from '../core/phrase/types';
import { decodePhrase, encodePhrase } from '../io/json';
import type { LibraryStore, Revision, SaveQueue } from './types';

/** One edit that no finished write holds, as the page knew it when it went away. */
export interface LeftBehind {
  readonly phrase: Phrase;
  /** Revision it was made from. */
  readonly base: Revision | null;
  /** Time of change of the version that was being written at that moment, which may yet arrive. */
  readonly underWay: string | null;
}

/** Text by name that is kept at once, without waiting: the page's local storage. */
export interface Shelf {
  names(): readonly string[];
  read(name: string): string | null;
  /** @returns false where there is no room. */
  write(name: string, text: string): boolean;
  remove(name: string): void;
}

const PREFIX = 'degreewise.left-behind.';

/**
 * Keeps what a page that is going away has not brought to the disk. A transaction that such a page
 * begins may never end; text in local storage is kept when the call returns.
 */
export function leaveBehind(store: LibraryStore, queue: SaveQueue, shelf: Shelf): void {
  // Where nothing is kept, nobody would take it up.
  if (!store.snapshot().lasting) return;
  for (const { phrase, base, underWay } of queue.waiting()) {
    const kept = { base, underWay: underWay?.meta.modified ?? null, json: encodePhrase(phrase) };
    if (shelf.write(nameFor(phrase), JSON.stringify(kept))) {
      // The page may live on, out of sight, and bring it to the disk after all.
      removeWhenSettled(queue, shelf, phrase, nameFor(phrase));
    }
  }
}

/** A page that has come back has its edits itself. */
export function comeBack(queue: SaveQueue, shelf: Shelf): void {
  for (const { phrase } of queue.waiting()) shelf.remove(nameFor(phrase));
}

/**
 * Removes what has arrived although its page went away: a later edit, of this window or another,
 * would make it look like a version of its own.
 */
export function clearArrived(store: LibraryStore, shelf: Shelf): void {
  const { state, lasting } = store.snapshot();
  if (state !== 'ready' || !lasting) return;
  for (const name of namesOn(shelf)) {
    const left = read(shelf.read(name));
    if (left !== null && isStored(store, left.phrase)) shelf.remove(name);
  }
}

function nameFor({ id }: Phrase): string {
  return `${PREFIX}${id}`;
}

function namesOn(shelf: Shelf): readonly string[] {
  return shelf.names().filter((n) => n.startsWith(PREFIX));
}

function isStored(store: LibraryStore, phrase: Phrase): boolean {
  const stored = store.phrase(phrase.id);
  return stored !== null && encodePhrase(stored.phrase) === encodePhrase(phrase);
}

/** Written, kept beside another version, or given up: from then on the shelf would bring back what is past. */
function removeWhenSettled(queue: SaveQueue, shelf: Shelf, { id }: Phrase, name: string): void {
  const stop = queue.subscribe(() => {
    if ('draft' in queue.status(id)) return;
    stop();
    shelf.remove(name);
  });
}

/**
 * Takes up again what a page left behind, as an edit like any other: what another window has written
 * meanwhile is a conflict of the usual kind, and both are kept. What cannot be read stays where it is.
 * @returns how many edits were taken up.
 */
export async function takeUp(store: LibraryStore, queue: SaveQueue, shelf: Shelf): Promise<number> {
  let taken = 0;
  for (const name of namesOn(shelf)) {
    const left = read(shelf.read(name));
    if (left === null) continue;
    const { phrase, base, underWay } = left;
    if (!isStored(store, phrase)) {
      const stored = store.phrase(phrase.id);
      // The write that was under way has arrived after all: what was left behind follows it.
      const follows = stored !== null && stored.phrase.meta.modified === underWay;
      queue.edit(phrase, follows ? stored.revision : base);
      taken += 1;
      await queue.flush();
      if ('draft' in queue.status(phrase.id)) {
        removeWhenSettled(queue, shelf, phrase, name);
        continue;
      }
    }
    shelf.remove(name);
  }
  return taken;
}

function read(text: string | null): LeftBehind | null {
  if (text === null) return null;
  let kept: unknown;
  try {
    kept = JSON.parse(text);
  } catch {
    return null;
  }
  if (typeof kept !== 'object' || kept === null) return null;
  const { base, underWay, json } = kept as Record<string, unknown>;
  if (typeof json !== 'string' || !(base === null || Number.isInteger(base))) return null;
  if (!(underWay === null || typeof underWay === 'string')) return null;
  const phrase = decodePhrase(json);
  return phrase.ok ? { phrase: phrase.value, base: base as Revision | null, underWay } : null;
}
