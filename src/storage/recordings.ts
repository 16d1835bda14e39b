import type { AsPlayed } from '../core/heard/played';
import { versionOf } from '../io/json/migrate';
import { PLAYED } from '../io/kinds/file-kinds';
import { readyFor } from '../io/kinds/kind';
import { database, isThere, type KeptSound } from './recordings-database';
import type { LibraryStore } from './types';

export type { KeptSound } from './recordings-database';

/** What is kept of how a phrase was caught. */
export interface KeptRecording {
  /** How it was played; null where that cannot be read. */
  readonly played: AsPlayed | null;
  /** The sound it was caught from; null where nobody has kept it. */
  readonly sound: KeptSound | null;
}

/** Bytes that a recording leaves free, so that the library itself is not what finds the device full. */
const LEFT_FREE = 32_000_000;
/** Milliseconds that a recording outlives a phrase of which nothing is known: it may come back from the second copy. */
const WAITS = 30 * 24 * 60 * 60 * 1000;
/** So many are read at a time. */
const CHUNK = 64;

/**
 * Keeps how a phrase was played, its sound, or both; what is absent stays as it was.
 * @throws where this device does not take it: `QuotaExceededError` where there is no room, or no storage.
 */
export async function putRecording({ played, sound }: KeptRecording): Promise<void> {
  const free = sound === null ? null : await freeBytes();
  if (sound !== null && free !== null && free - sound.sound.byteLength < LEFT_FREE) {
    throw new DOMException('no room for a recording', 'QuotaExceededError');
  }
  const db = await database();
  const tx = db.transaction(['recordings', 'played', 'missing'], 'readwrite', STRICT);
  const ids = [played, sound].flatMap((x) => x?.id ?? []);
  await Promise.all([
    ...(sound === null ? [] : [tx.objectStore('recordings').put(sound)]),
    ...(played === null ? [] : [tx.objectStore('played').put(played)]),
    ...ids.map((id) => tx.objectStore('missing').delete(id)),
    tx.done,
  ]);
}

const STRICT = { durability: 'strict' } as const;

/** null where the browser does not tell. */
async function freeBytes(): Promise<number | null> {
  // Missing on pages that are not served securely.
  const storage: StorageManager | undefined = globalThis.navigator?.storage;
  try {
    const { usage, quota } = await storage.estimate();
    return usage === undefined || quota === undefined ? null : quota - usage;
  } catch {
    return null;
  }
}

/** null where the phrase has none; with neither where what is there is damaged. @throws where nothing can be read now. */
export async function recordingOf(id: string): Promise<KeptRecording | null> {
  if (!(await isThere())) return null;
  const tx = (await database()).transaction(['recordings', 'played']);
  const [sound = null, found] = await Promise.all([
    tx.objectStore('recordings').get(id),
    tx.objectStore('played').get(id),
  ]);
  const played = found === undefined ? null : await checked(found);
  return sound === null && found === undefined ? null : { played, sound };
}

/**
 * Gives a copy of a phrase, whose notes have the same ids, what is kept of how that one was played; its sound stays with the one.
 * @throws where it is there and cannot be read or kept.
 */
export async function copyPlayed(from: string, to: string): Promise<void> {
  if (!(await isThere())) return;
  const found: unknown = await (await database()).get('played', from);
  const played = found === undefined ? null : await checked(found);
  if (played !== null) await takePlayed([{ ...played, id: to }]);
}

async function checked(found: unknown): Promise<AsPlayed | null> {
  await readyFor([PLAYED]);
  const read = PLAYED.decode(found);
  return read.ok ? read.value : null;
}

/** The sound alone; how the phrase was played stays. @throws where it is still there. */
export async function removeSound(id: string): Promise<void> {
  if (!(await isThere())) return;
  await (await database()).delete('recordings', id);
}

/** All of phrases that are gone for good, or that somebody asks to delete. @throws where it is still there. */
export async function removeRecordings(ids: readonly string[]): Promise<void> {
  if (!(await isThere())) return;
  const db = await database();
  const stores = ['recordings', 'played', 'missing'] as const;
  const tx = db.transaction(stores, 'readwrite');
  await Promise.all([
    ...ids.flatMap((id) => stores.map((s) => tx.objectStore(s).delete(id))),
    tx.done,
  ]);
}

/**
 * Takes how phrases were played out of a file. What is here of one stays as it is, unless it is damaged.
 * @returns the ids of those that are new. @throws where none of them could be written.
 */
export async function takePlayed(some: readonly AsPlayed[]): Promise<readonly string[]> {
  const db = await database();
  // A transaction does not wait for the check to be fetched.
  await readyFor([PLAYED]);
  const tx = db.transaction(['played', 'missing'], 'readwrite', STRICT);
  // Awaited below; if a request fails before, that is the failure that counts.
  tx.done.catch(() => undefined);
  const came: string[] = [];
  for (const played of some) {
    const here: { readonly id: string } | undefined = await tx.objectStore('played').get(played.id);
    if (here !== undefined && !isDamaged({ ...here })) continue;
    await tx.objectStore('played').put(played);
    came.push(played.id);
  }
  await tx.done;
  return came;
}

/** What a newer program has put there cannot be read here, and is whole all the same. */
function isDamaged(found: Readonly<Record<string, unknown>>): boolean {
  return versionOf(PLAYED.versions, found).kind !== 'too new' && !PLAYED.decode(found).ok;
}

/** Takes back what came by `takePlayed`. @throws where it is still there. */
export async function withdrawPlayed(ids: readonly string[]): Promise<void> {
  const tx = (await database()).transaction('played', 'readwrite');
  await Promise.all([...ids.map((id) => tx.store.delete(id)), tx.done]);
}

/** Some as a library file holds them. */
export interface PlayedTexts {
  readonly texts: readonly string[];
  /** How many more there would be that cannot be read. */
  readonly unread: number;
}

/** How phrases were played, some at a time. @throws where nothing more can be read. */
export async function* playedTexts(of: ReadonlySet<string>): AsyncGenerator<PlayedTexts, void> {
  if (!(await isThere())) return;
  const db = await database();
  const ids = (await db.getAllKeys('played')).filter((id) => of.has(id));
  for (let at = 0; at < ids.length; at += CHUNK) {
    const tx = db.transaction('played');
    const some = ids.slice(at, at + CHUNK);
    const found = await Promise.all(some.map((id) => tx.store.get(id)));
    const read = await Promise.all(found.map((x) => checked(x)));
    const texts = read.flatMap((x) => (x === null ? [] : [JSON.stringify(x)]));
    yield { texts, unread: some.length - texts.length };
  }
}

/**
 * Takes out what is left over: what belongs to phrases that were found nowhere for 30 days, neither in the library nor
 * damaged in it nor among what was removed. For when the page is at rest; does nothing unless all of the library is open.
 */
export async function tidyRecordings(store: LibraryStore, now: number): Promise<void> {
  if (!(await isThere())) return;
  const db = await database();
  const ids = new Set([...(await db.getAllKeys('recordings')), ...(await db.getAllKeys('played'))]);
  const { state, lasting, problems } = store.snapshot();
  if (state !== 'ready' || !lasting) return;
  const back = new Set([...store.things.removed().map((t) => t.id), ...problems.map((p) => p.key)]);
  const tx = db.transaction('missing');
  const [names, times] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll()]);
  const missing = new Map(names.map((id, i) => [id, times[i]!] as const));
  const gone: string[] = [];
  for (const id of ids) {
    const since = missing.get(id);
    if (store.phrase(id) !== null || back.has(id)) {
      if (since !== undefined) await db.delete('missing', id);
    } else if (since === undefined) await db.put('missing', now, id);
    else if (now - since > WAITS) gone.push(id);
  }
  if (gone.length > 0) await removeRecordings(gone);
}
