import { type AnyKind, check, type Kind, readyFor } from '../io/kinds/kind';
import { PHRASES } from '../io/kinds/kinds';
import type { SaveQueue } from './edit-types';
import { keyOf, partsOf } from './record';
import type { LibraryStore, Revision } from './types';

/** One edit that no finished write holds, as the page knew it when it went away. */
export interface LeftBehind<T = unknown> {
  readonly kind: Kind<T>;
  readonly value: T;
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
  for (const { kind, value, base, underWay } of queue.waiting()) {
    const { id } = kind.identityOf(value);
    const name = nameFor(kind, id);
    const since = underWay === null ? null : kind.identityOf(underWay).modified;
    const kept = { kind: kind.name, base, underWay: since, json: JSON.stringify(value) };
    if (shelf.write(name, JSON.stringify(kept))) {
      // The page may live on, out of sight, and bring it to the disk after all.
      removeWhenSettled(queue, shelf, kind, id);
    }
  }
}

/** A page that has come back has its edits itself. */
export function comeBack(queue: SaveQueue, shelf: Shelf): void {
  for (const { kind, value } of queue.waiting()) {
    shelf.remove(nameFor(kind, kind.identityOf(value).id));
  }
}

/**
 * Removes what has arrived although its page went away: a later edit, of this window or another,
 * would make it look like a version of its own.
 */
export async function clearArrived(store: LibraryStore, shelf: Shelf): Promise<void> {
  const { state, lasting } = store.snapshot();
  if (state !== 'ready' || !lasting) return;
  await readyForNames(store, shelf);
  for (const name of namesOn(shelf)) {
    const left = read(shelf.read(name), store.kinds);
    if (left !== null && (await isStored(store, left))) shelf.remove(name);
  }
}

function nameFor(kind: AnyKind, id: string): string {
  return `${PREFIX}${keyOf(kind, id)}`;
}

function namesOn(shelf: Shelf): readonly string[] {
  return shelf.names().filter((n) => n.startsWith(PREFIX));
}

async function readyForNames({ kinds }: LibraryStore, shelf: Shelf): Promise<void> {
  const names = new Set(namesOn(shelf).map((n) => partsOf(n.slice(PREFIX.length)).name));
  await readyFor(kinds.filter((k) => names.has(k.name)));
}

async function isStored(store: LibraryStore, { kind, value }: LeftBehind): Promise<boolean> {
  const [stored] = await store.of(kind).load([kind.identityOf(value).id]);
  return stored !== undefined && textOf(kind, stored.value) === textOf(kind, value);
}

/** As it is kept; null for what breaks the rules of its kind. */
function textOf(kind: AnyKind, value: unknown): string | null {
  const checked = check(kind, value);
  return checked.ok ? checked.value.text : null;
}

/** Written, kept beside another version, or given up: from then on the shelf would bring back what is past. */
function removeWhenSettled(queue: SaveQueue, shelf: Shelf, kind: AnyKind, id: string): void {
  const stop = queue.subscribe(() => {
    if ('draft' in queue.of(kind).status(id)) return;
    stop();
    shelf.remove(nameFor(kind, id));
  });
}

/**
 * Takes up again what a page left behind, as an edit like any other: what another window has written
 * meanwhile is a conflict of the usual kind, and both are kept. What cannot be read stays where it is.
 * @returns how many edits were taken up.
 */
export async function takeUp(store: LibraryStore, queue: SaveQueue, shelf: Shelf): Promise<number> {
  let taken = 0;
  await readyForNames(store, shelf);
  for (const name of namesOn(shelf)) {
    const left = read(shelf.read(name), store.kinds);
    if (left === null) continue;
    const { kind, value, base, underWay } = left;
    const { id } = kind.identityOf(value);
    if (!(await isStored(store, left))) {
      const stored = store.of(kind).get(id);
      // The write that was under way has arrived after all: what was left behind follows it.
      const follows = stored !== null && stored.identity.modified === underWay;
      queue.of(kind).edit(value, follows ? stored.revision : base);
      taken += 1;
      await queue.flush();
      if ('draft' in queue.of(kind).status(id)) {
        removeWhenSettled(queue, shelf, kind, id);
        continue;
      }
    }
    shelf.remove(name);
  }
  return taken;
}

function read(text: string | null, kinds: readonly AnyKind[]): LeftBehind | null {
  if (text === null) return null;
  let kept: unknown;
  try {
    kept = JSON.parse(text);
  } catch {
    return null;
  }
  if (typeof kept !== 'object' || kept === null) return null;
  // Before there were other kinds, phrases were left behind without a name.
  const { kind: name = PHRASES.name, base, underWay, json } = kept as Record<string, unknown>;
  if (typeof json !== 'string' || !(base === null || Number.isInteger(base))) return null;
  if (!(underWay === null || typeof underWay === 'string')) return null;
  const kind = kinds.find((k) => k.name === name);
  const value = kind?.decode(json);
  if (kind === undefined || value?.ok !== true) return null;
  return { kind, value: value.value, base: base as Revision | null, underWay };
}
