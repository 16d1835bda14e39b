import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { LibraryStore } from './types';

/** The recording that a phrase was caught from, with what was heard in it. */
export interface KeptRecording {
  /** Of the phrase. */
  readonly id: string;
  /** When it was kept, ISO 8601 in UTC. */
  readonly kept: string;
  /** Of the sound: `audio/ogg` or `audio/wav`. */
  readonly type: string;
  readonly sound: ArrayBuffer;
  readonly seconds: number;
  /** Seconds of the recording at which the phrase begins as it is written. */
  readonly begin: number;
  /** As it was played, beside what is written: by note id, in seconds and MIDI numbers with cents. */
  readonly played: readonly PlayedNote[];
  /** What the player changed of what was heard, in words. */
  readonly corrected: readonly string[];
}

export interface PlayedNote {
  readonly note: string;
  readonly onset: number;
  readonly end: number;
  readonly pitch: number;
  readonly confidence: number;
}

interface Recordings extends DBSchema {
  recordings: { key: string; value: KeptRecording };
  /** By the id of a phrase that was not found: since when, in milliseconds since 1970. */
  missing: { key: string; value: number };
}

const NAME = 'degreewise-recordings';
/** Bytes that a recording leaves free, so that the library itself is not what finds the device full. */
const LEFT_FREE = 32_000_000;
/** Milliseconds that a recording outlives a phrase of which nothing is known: it may come back from the second copy. */
const WAITS = 30 * 24 * 60 * 60 * 1000;

let opened: Promise<IDBPDatabase<Recordings>> | null = null;

/** A database of its own: the library stays as light as it is, and its files have no sound. */
function database(): Promise<IDBPDatabase<Recordings>> {
  const forget = () => {
    opened = null;
  };
  if (opened === null) {
    opened = openDB<Recordings>(NAME, 1, {
      upgrade: (made) => {
        made.createObjectStore('recordings', { keyPath: 'id' });
        made.createObjectStore('missing');
      },
      blocking: () => {
        void opened?.then((db) => db.close());
        forget();
      },
      terminated: forget,
    });
    opened.catch(forget);
  }
  return opened;
}

/** Where nobody has kept a recording nothing is opened, or made. */
async function isThere(): Promise<boolean> {
  if (opened !== null) return true;
  if (typeof indexedDB === 'undefined') return false;
  // An older browser does not tell.
  if (!('databases' in indexedDB)) return true;
  try {
    return (await indexedDB.databases()).some(({ name }) => name === NAME);
  } catch {
    // It keeps nothing, as in some private windows.
    return false;
  }
}

/** @throws where this device does not take it: `QuotaExceededError` where there is no room, or no storage. */
export async function putRecording(recording: KeptRecording): Promise<void> {
  const free = await freeBytes();
  if (free !== null && free - recording.sound.byteLength < LEFT_FREE) {
    throw new DOMException('no room for a recording', 'QuotaExceededError');
  }
  const db = await database();
  const tx = db.transaction(['recordings', 'missing'], 'readwrite', { durability: 'strict' });
  await Promise.all([
    tx.objectStore('recordings').put(recording),
    tx.objectStore('missing').delete(recording.id),
    tx.done,
  ]);
}

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

/** null where the phrase has none. @throws where what is there cannot be read. */
export async function recordingOf(id: string): Promise<KeptRecording | null> {
  if (!(await isThere())) return null;
  return (await (await database()).get('recordings', id)) ?? null;
}

/** Those of phrases that are gone for good, or that somebody asks to delete. @throws where they are still there. */
export async function removeRecordings(ids: readonly string[]): Promise<void> {
  if (!(await isThere())) return;
  const db = await database();
  const tx = db.transaction(['recordings', 'missing'], 'readwrite');
  await Promise.all([
    ...ids.flatMap((id) => [
      tx.objectStore('recordings').delete(id),
      tx.objectStore('missing').delete(id),
    ]),
    tx.done,
  ]);
}

/**
 * Takes out what is left over: recordings of phrases that were found nowhere for 30 days, neither in the library nor
 * damaged in it nor among what was removed. For when the page is at rest; does nothing unless all of the library is open.
 */
export async function tidyRecordings(store: LibraryStore, now: number): Promise<void> {
  if (!(await isThere())) return;
  const db = await database();
  const ids = await db.getAllKeys('recordings');
  const { state, lasting, problems } = store.snapshot();
  if (state !== 'ready' || !lasting) return;
  const back = new Set([...store.things.removed().map((t) => t.id), ...problems.map((p) => p.key)]);
  const gone: string[] = [];
  for (const id of ids) {
    const since = await db.get('missing', id);
    if (store.phrase(id) !== null || back.has(id)) {
      if (since !== undefined) await db.delete('missing', id);
    } else if (since === undefined) await db.put('missing', now, id);
    else if (now - since > WAITS) gone.push(id);
  }
  if (gone.length > 0) await removeRecordings(gone);
}
