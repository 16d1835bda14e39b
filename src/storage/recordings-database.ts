import { type DBSchema, type IDBPDatabase, type IDBPTransaction, openDB } from 'idb';
import { type AsPlayed, PLAYED_VERSION } from '../core/heard/played';

/** The sound that a phrase was caught from. */
export interface KeptSound {
  /** Of the phrase. */
  readonly id: string;
  /** `audio/ogg` or `audio/wav`. */
  readonly type: string;
  readonly sound: ArrayBuffer;
}

export interface Recordings extends DBSchema {
  /** What version 1 put here has besides what now lies in `played`, and keeps it: sounds are not written anew. */
  recordings: { key: string; value: KeptSound };
  /** As `AsPlayed`, once it has been checked. */
  played: { key: string; value: { readonly id: string } };
  /** By the id of a phrase that was not found: since when, in milliseconds since 1970. */
  missing: { key: string; value: number };
}

const NAME = 'degreewise-recordings';
/** 2: how a phrase was played lies apart from its sound, and may be there without. */
const VERSION = 2;

let opened: Promise<IDBPDatabase<Recordings>> | null = null;

/** A database of its own: the library stays as light as it is, and its files have no sound. */
export function database(): Promise<IDBPDatabase<Recordings>> {
  const forget = () => {
    opened = null;
  };
  if (opened === null) {
    opened = openDB<Recordings>(NAME, VERSION, {
      upgrade: async (db, from, _to, tx) => {
        if (from < 1) {
          db.createObjectStore('recordings', { keyPath: 'id' });
          db.createObjectStore('missing');
        }
        db.createObjectStore('played', { keyPath: 'id' });
        if (from === 1) await playedOfFirst(tx);
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

/** Where nobody has kept anything nothing is opened, or made. */
export async function isThere(): Promise<boolean> {
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

type Upgrading = IDBPTransaction<
  Recordings,
  ('recordings' | 'played' | 'missing')[],
  'versionchange'
>;

/** Puts how phrases were played, which stood with their sounds in version 1, into a place of its own; one at a time. */
async function playedOfFirst(tx: Upgrading): Promise<void> {
  let cursor = await tx.objectStore('recordings').openCursor();
  while (cursor !== null) {
    const played = playedIn(cursor.value);
    if (played !== null) await tx.objectStore('played').put(played);
    cursor = await cursor.continue();
  }
}

/** What a recording of version 1 says; null where that is damaged: its sound stays. */
function playedIn(record: unknown): AsPlayed | null {
  const { id, kept, seconds, begin, played, corrected } = record as Readonly<Record<string, never>>;
  // A failure here would keep the database from being opened, and every recording with it.
  if (!areObjects(played)) return null;
  // What else of it is not as it should be is found by the check when it is read.
  const sounds = (played as unknown as readonly FirstNote[]).map(
    ({ note, onset, end, pitch, confidence }) => ({
      ...{ note, onset: Math.max(0, onset), end: Math.max(0, onset, end), pitch, confidence },
      pitches: [],
    }),
  );
  return {
    ...{ format: 'degreewise-played', version: PLAYED_VERSION, id: id!, kept: kept! },
    ...{ seconds: seconds!, begin: begin!, bars: [] },
    sounds: sounds.sort((a, b) => a.onset - b.onset),
    corrected: corrected ?? [],
  };
}

function areObjects(value: unknown): boolean {
  return Array.isArray(value) && value.every((x) => typeof x === 'object' && x !== null);
}

interface FirstNote {
  readonly note: string;
  readonly onset: number;
  readonly end: number;
  readonly pitch: number;
  readonly confidence: number;
}
