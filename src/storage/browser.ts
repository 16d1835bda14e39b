import type { Safety } from './copy-keeper';
import type { Channel, LibraryDeps } from './deps';
import type { SaveQueue } from './edit-types';
import { idbBackend } from './idb-backend';
import { versionsLater } from './later-versions';
import { clearArrived, comeBack, leaveBehind, takeUp } from './left-behind';
import { privateFolder } from './opfs';
import { createSaveQueue } from './queue';
import { randomId } from './random-id';
import { throwIndexAway } from './room';
import { DATABASE, newestVersion, UPGRADES } from './schema';
import { SecondCopy } from './second-copy';
import { localShelf } from './shelf';
import { createLibrary } from './store';
import type { LibraryStore } from './types';

/**
 * The library of this browser; it begins to open at once and never throws.
 * @param care What of its care for the second copy is not as usual, and how few records are read as a whole.
 */
export function openLibrary(
  name: string = DATABASE,
  care: Pick<Safety, 'patience' | 'many'> & { readonly few?: number } = {},
): LibraryStore {
  const safety = safetyOf(name);
  const backend = idbBackend(name, UPGRADES, safety && { ...safety, ...care }, care.few);
  return createLibrary(backend, browserDeps(name));
}

/** The save queue of a page. */
export function queueFor(store: LibraryStore): SaveQueue {
  return createSaveQueue(store, {
    now: () => Date.now(),
    newId: randomId,
    after(ms, run) {
      const timer = setTimeout(run, ms);
      return () => clearTimeout(timer);
    },
    // A title holds 500 characters.
    copyTitle: (title) => `${[...title].slice(0, 240).join('')} (second version)`,
  });
}

/** Takes up what a page of this browser left behind when it went away; see `left-behind.ts`. */
export function takeUpLeftBehind(store: LibraryStore, queue: SaveQueue): Promise<number> {
  return takeUp(store, queue, localShelf());
}

/**
 * Saves at once when the page goes out of sight, keeps what is not saved when it goes away, looks for
 * news when it comes back, and has the browser ask before a window with unsaved edits is closed.
 * @returns a function that takes all of it back.
 */
export function watchPage(store: LibraryStore, queue: SaveQueue): () => void {
  const seen = () => {
    if (document.visibilityState === 'hidden') void queue.flush();
    else void store.refresh();
  };
  const shelf = localShelf();
  const hide = () => {
    void queue.flush();
    leaveBehind(store, queue, shelf);
  };
  // Browsers may keep a page as it was and show it again.
  const show = () => comeBack(queue, shelf);
  const leave = (event: BeforeUnloadEvent) => {
    if (!queue.unsaved()) return;
    void queue.flush();
    event.preventDefault();
  };
  const stop = store.subscribe(() => void clearArrived(store, shelf));
  document.addEventListener('visibilitychange', seen);
  window.addEventListener('pagehide', hide);
  window.addEventListener('pageshow', show);
  window.addEventListener('beforeunload', leave);
  return () => {
    stop();
    document.removeEventListener('visibilitychange', seen);
    window.removeEventListener('pagehide', hide);
    window.removeEventListener('pageshow', show);
    window.removeEventListener('beforeunload', leave);
  };
}

/** Without locks two windows that open at once may compare twice, which does no harm. */
function safetyOf(name: string): Safety | null {
  const files = privateFolder(`${name}-copy`);
  if (files === null) return null;
  const locks: LockManager | undefined = navigator.locks;
  return {
    copy: new SecondCopy(files, newestVersion(UPGRADES)),
    alone: async (work) =>
      locks === undefined ? work() : await locks.request(`${name}-copy`, work),
  };
}

function browserDeps(name: string): LibraryDeps {
  // Missing on pages that are not served securely.
  const storage: StorageManager | undefined = navigator.storage;
  return {
    now: () => Date.now(),
    newId: randomId,
    channel: windowChannel(name),
    versions: versionsLater(`${name}-versions`, async () =>
      (await import('./with-recordings')).openWithRecordings(`${name}-versions`),
    ),
    persistence:
      storage === undefined
        ? null
        : { persisted: () => storage.persisted(), persist: () => storage.persist() },
    makeRoom: throwIndexAway,
    async estimate() {
      try {
        const { usage, quota } = await storage.estimate();
        return { usage: usage ?? null, quota: quota ?? null };
      } catch {
        // Without numbers the message is still true.
        return { usage: null, quota: null };
      }
    },
  };
}

/** Without it windows only learn of each other when they come back into view, or save. */
function windowChannel(name: string): Channel | null {
  if (typeof BroadcastChannel === 'undefined') return null;
  const channel = new BroadcastChannel(`${name}-library`);
  return {
    tell: () => channel.postMessage('written'),
    listen(heard) {
      channel.onmessage = heard;
    },
    close: () => channel.close(),
  };
}
