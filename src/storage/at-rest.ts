import type { Backend, Records } from './backend';
import type { LogEnd } from './head';
import type { Note } from './noted';
import { noteIn } from './noted-left';
import type { RawRecord } from './record';
import { isRefusal } from './refusal';
import { isOver, purgeRemoved, sealRecords, timeToPurge } from './rest-writes';
import type { Refusal } from './types';
import type { VersionKeeper } from './versions';
import type { View } from './view';
import { nothing, type Written } from './writes';

/** Records looked at in one go where all of them are, and milliseconds between two. */
const PIECE = 32;
const NEXT = 250;
/** Milliseconds from one look at all of them to the next: a week. */
const AGAIN = 7 * 24 * 60 * 60 * 1000;

/** What a connection gives to work that is done while the page is at rest. */
export interface Desk {
  readonly backend: Backend;
  readonly view: View;
  readonly versions: VersionKeeper | undefined;
  now(): number;
  /** Whether the library is still open as it was. */
  current(): boolean;
  /** The revision up to which everything has been seen. */
  seen(): number;
  /** Takes what other windows wrote. @returns where the log of heads ended before that. */
  caughtUp(): Promise<LogEnd>;
  /** The log of heads was written to, and nothing that a page shows has changed. */
  rested(): void;
  inSlices(raws: readonly RawRecord[], take: (some: readonly RawRecord[]) => void): Promise<void>;
  write<T>(
    run: (records: Records) => Promise<Written<T>>,
  ): Promise<{ readonly value: T } | Refusal>;
}

/**
 * Reads all records anew, a few at a time: the last to find what is damaged, or what is known of and
 * not there.
 * @param wait Milliseconds between two pieces.
 */
export async function lookThrough(desk: Desk, wait: number): Promise<void> {
  const { backend, view } = desk;
  const known = new Set(view.keys());
  const older: string[] = [];
  let wrong = false;
  for (let after: string | null = null; ; ) {
    const raws: readonly RawRecord[] = await backend.page(after, PIECE);
    // What was written meanwhile is not wrong.
    if (raws.some(({ key }) => !view.knows(key))) await desk.caughtUp();
    if (!desk.current()) return;
    for (const { key } of raws) {
      if (!view.knows(key)) wrong = true;
      known.delete(key);
    }
    await desk.inSlices(raws, (few) => void older.push(...view.takeLooked(few)));
    after = raws.at(-1)?.key ?? null;
    if (raws.length < PIECE || after === null) break;
    await new Promise((resolve) => setTimeout(resolve, wait));
  }
  // What was removed for good meanwhile is not known any more.
  if (known.size > 0) await desk.caughtUp();
  const ghosts = [...known].filter((key) => view.knows(key));
  const still = new Set((await backend.read(ghosts)).map((r) => r.key));
  const gone = ghosts.filter((key) => !still.has(key));
  view.forget(gone);
  view.publishRecords();
  if (older.length > 0) await backend.mendHeads?.(older);
  if (wrong || gone.length > 0) await backend.forgetHeads?.();
  else if (backend.gap === true) await backend.tidyHeads?.();
}

/**
 * Where more or fewer records lie there than are known, or something is missing of what is known of them,
 * all are looked at as soon as can be.
 */
export async function count(desk: Desk): Promise<void> {
  const before = desk.seen();
  const lie = await desk.backend.count?.();
  // What is written meanwhile, here or in another window, would look like a difference.
  if (!desk.current() || before !== desk.seen() || lie === undefined) return;
  if (lie !== desk.view.size || desk.backend.gap === true) await lookThrough(desk, 0);
}

/** Tidies the log of heads; once a week all records are looked at, slowly. */
export async function tend(desk: Desk): Promise<void> {
  const { backend } = desk;
  await backend.tidyHeads?.();
  desk.rested();
  const looked = await backend.looked?.();
  if (typeof looked === 'number' && Math.abs(desk.now() - looked) < AGAIN) return;
  await lookThrough(desk, NEXT);
  if (!desk.current()) return;
  await desk.write(async (r) => {
    await r.setMeta('looked', desk.now());
    return { value: null, changes: [] };
  });
}

/** So many records are noted as checked in a transaction. */
const SEALED = 64;
/** Milliseconds between two such transactions. */
const SEAL_NEXT = 200;

/** What was checked once need not be checked at the next opening. Best effort. */
export async function sealAll(desk: Desk): Promise<void> {
  while (desk.current()) {
    const some = desk.view.unsealed(SEALED);
    if (some.length === 0) return;
    const named = some.map(({ kind, key, stored: { revision, identity, group } }) => {
      return { kind, key, revision, identity, group };
    });
    if (isRefusal(await desk.write((r) => sealRecords(r, named)))) return;
    desk.view.sealed(some);
    desk.rested();
    await new Promise((resolve) => setTimeout(resolve, SEAL_NEXT));
  }
}

/** So many are deleted for good in a transaction. */
const PURGED = 200;

/** Deletes what was removed long ago, a piece at a time; see `timeToPurge`. */
export async function purge(desk: Desk): Promise<void> {
  const { view } = desk;
  const now = desk.now();
  const over = view.removedKeys((removed) => isOver(removed, now)).length > 0;
  const since = await desk.write(async (r) => nothing(await timeToPurge(r, now, over)));
  if (isRefusal(since) || since.value === null) return;
  const then = since.value;
  const keys = view.removedKeys((removed) => isOver(removed, then));
  for (let at = 0; at < keys.length; at += PURGED) {
    const some = keys.slice(at, at + PURGED);
    if (isRefusal(await desk.write((r) => purgeRemoved(r, some, then)))) return;
  }
}

const asReplaced = ({ id, text, sum }: Note['replaced'][number]) => {
  return { id, text, ...(sum !== undefined && { sum }) };
};

/**
 * Keeps what was noted, and crosses it out. Where another window is about to keep it too, it is kept once: what was
 * written at one moment is one version. Where earlier versions cannot be opened or written now it stays noted.
 */
export async function takeNoted(desk: Desk): Promise<void> {
  const { backend, versions, view } = desk;
  const noted = await backend.noted?.();
  if (versions === undefined || noted === undefined || noted.size === 0 || !desk.current()) return;
  if ((await versions.size(new Set())) === null) return;
  for (const value of noted.values()) {
    const note = noteIn(value);
    // What was deleted for good meanwhile has no past.
    const some = note?.replaced.filter(({ id }) => view.knows(id)) ?? [];
    if (note !== null && some.length > 0) versions.replaced(some.map(asReplaced), note.now);
  }
  if (!(await versions.settled())) return;
  await desk.write(async (records) => {
    for (const name of noted.keys()) await records.setMeta(name, undefined);
    return { value: null, changes: [] };
  });
}
