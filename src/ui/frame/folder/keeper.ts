import { carry } from '../../../io/folder/carry';
import type { Carrying } from '../../../io/folder/ports';
import type { LibraryStore, Mishap } from '../../../storage/types';
import { breathing, nowAndThen } from './breathing';
import { handleFolder, isRefusal } from './handle-folder';
import { FolderShelf } from './shelf';
import { storeLibrary } from './store-library';

/** Where the library and its folder stand. */
export type FolderState =
  /** What is remembered is being read. */
  | { readonly kind: 'opening' }
  /** A window with an earlier program has what is known of the folder. */
  | { readonly kind: 'waits' }
  /** The browser gives no page a folder. */
  | { readonly kind: 'no folders' }
  | { readonly kind: 'none' }
  /** The browser wants to be asked again. */
  | { readonly kind: 'asks'; readonly name: string }
  | {
      readonly kind: 'at work';
      readonly name: string;
      readonly done: number;
      readonly total: number;
    }
  | {
      readonly kind: 'in step';
      readonly name: string;
      /** Milliseconds since 1970. */
      readonly since: number;
      /** So many things changed meanwhile, or their files did; they are looked at again. */
      readonly waiting: number;
      readonly unreadable: readonly { readonly path: string; readonly why: string }[];
    }
  | { readonly kind: 'failed'; readonly name: string; readonly why: string };

/** What the keeper is told by. */
interface Deps {
  readonly store: LibraryStore;
  readonly now: () => string;
  /** After each look that did something. */
  readonly told: (done: Carrying) => void;
}

/** Milliseconds of quiet after a save before the folder hears of it. */
const QUIET = 2_000;
/** Milliseconds between two looks at the folder, while the page is in sight. */
const LOOK = 180_000;
/** Milliseconds that a look counts when the page comes back into view. */
const FRESH = 5_000;
/** Milliseconds of a look after which what was done so far is remembered, in case the page goes away. */
const KEEP = 5_000;
/** Milliseconds between two looks that read every file. */
const DAY = 86_400_000;
const THOROUGH = 'degreewise.folder-read';

/** Keeps one folder in step with the library of this browser, from this window. */
export class FolderKeeper {
  private state: FolderState = { kind: 'opening' };
  private readonly listeners = new Set<() => void>();
  private shelf: FolderShelf | null = null;
  private folder: FileSystemDirectoryHandle | null = null;
  private unreadable: Extract<FolderState, { kind: 'in step' }>['unreadable'] = [];
  private looked = 0;
  /** When the two were first found equal; null while they are not. */
  private since: number | null = null;
  private working: Promise<void> | null = null;
  private again: 'quick' | 'whole' | null = null;
  /** The last that was heeded. */
  private mishap: Mishap | null = null;
  private timer: ReturnType<typeof setTimeout> | undefined;
  /** The library was not open yet when the folder was to be looked at. */
  private tooSoon = false;
  private retry: ReturnType<typeof setTimeout> | undefined;
  /** How often in a row something was found that changed meanwhile. */
  private waits = 0;

  constructor(private readonly deps: Deps) {}

  readonly subscribe = (changed: () => void): (() => void) => {
    this.listeners.add(changed);
    return () => this.listeners.delete(changed);
  };

  readonly get = (): FolderState => this.state;

  /** Takes up the folder of an earlier visit, and listens. */
  async start(): Promise<void> {
    if (window.showDirectoryPicker === undefined) return this.set({ kind: 'no folders' });
    try {
      this.shelf = await FolderShelf.open(() => this.set({ kind: 'waits' }));
      this.folder = await this.shelf.chosen();
    } catch {
      // A browser that keeps nothing keeps no folder.
      return this.set({ kind: 'no folders' });
    }
    this.deps.store.subscribe(() => this.soon());
    const seen = () => {
      if (document.visibilityState === 'visible' && Date.now() - this.looked > FRESH) {
        void this.look('whole');
      }
    };
    document.addEventListener('visibilitychange', seen);
    window.addEventListener('focus', seen);
    setInterval(() => {
      if (document.visibilityState === 'visible') void this.look('whole');
    }, LOOK);
    await this.look('whole');
  }

  /** Lets the person choose a folder. Nothing happens where they choose none. */
  async choose(): Promise<void> {
    let chosen: FileSystemDirectoryHandle | undefined;
    try {
      chosen = await window.showDirectoryPicker?.({ id: 'degreewise', mode: 'readwrite' });
    } catch (e) {
      if (e instanceof DOMException && e.name === 'AbortError') return;
      const why = e instanceof Error ? e.message : String(e);
      return this.set({ kind: 'failed', name: this.folder?.name ?? '', why });
    }
    if (chosen === undefined || this.shelf === null) return;
    const { shelf } = this;
    const folder = chosen;
    await this.working;
    // Another window that is at work notes what it has done first, and not among what is known of this folder.
    await alone(() => shelf.choose(folder));
    this.folder = folder;
    await this.look('whole');
  }

  /** Asks the browser again, after a press of the person. */
  async allow(): Promise<void> {
    await this.folder?.requestPermission?.({ mode: 'readwrite' });
    await this.look('whole');
  }

  /** Stops; what is in the folder stays there. */
  async leave(): Promise<void> {
    const { folder } = this;
    this.folder = null;
    await this.working;
    if (folder !== null) await this.shelf?.leave();
    this.set({ kind: 'none' });
  }

  /** Looks at both sides, or at what was just saved; after the look that is going on. */
  look(how: 'quick' | 'whole'): Promise<void> {
    if (this.working !== null) {
      this.again = how === 'whole' || this.again === 'whole' ? 'whole' : 'quick';
      return this.working;
    }
    this.working = this.one(how).finally(() => {
      this.working = null;
      const { again } = this;
      this.again = null;
      if (again !== null) void this.look(again);
    });
    return this.working;
  }

  private soon(): void {
    if (this.folder === null) return;
    clearTimeout(this.timer);
    if (this.tooSoon) {
      if (this.deps.store.snapshot().state === 'ready') void this.look('whole');
      return;
    }
    this.timer = setTimeout(() => void this.look('quick'), QUIET);
  }

  /** Looks again at what changed meanwhile: at first soon, then less and less often. */
  private lookAgain(): void {
    clearTimeout(this.retry);
    const wait = Math.min(LOOK, QUIET * 2 ** this.waits);
    this.waits += 1;
    // At the whole folder: a file may be another than it was noted to be.
    this.retry = setTimeout(() => void this.look('whole'), wait);
  }

  private async one(how: 'quick' | 'whole'): Promise<void> {
    const { folder, shelf } = this;
    const { state, mishap } = this.deps.store.snapshot();
    const name = folder?.name ?? '';
    try {
      if (state === 'ready' && mishap !== this.mishap) {
        // What a library lacks that the browser had thrown away was not removed.
        if (mishap !== null) await alone(async () => shelf?.forgetNotes());
        this.mishap = mishap;
      }
      if (folder === null || shelf === null) return this.set({ kind: 'none' });
      this.tooSoon = state !== 'ready';
      if (this.tooSoon) return;
      const may = (await folder.queryPermission?.({ mode: 'readwrite' })) ?? 'granted';
      if (may !== 'granted') return this.set({ kind: 'asks', name });
      await alone(async () => {
        if (await this.isOurs(folder, shelf)) await this.carryOnce(folder, shelf, how);
      });
    } catch (e) {
      if (this.folder !== folder) return;
      if (isRefusal(e)) this.set({ kind: 'asks', name });
      else this.set({ kind: 'failed', name, why: inWords(e) });
    }
  }

  /**
   * Whether the folder is the one that is kept in step. Where another window has left it or chosen another
   * one, this window goes with it: nothing more is carried to a folder that somebody has let go.
   */
  private async isOurs(folder: FileSystemDirectoryHandle, shelf: FolderShelf): Promise<boolean> {
    const chosen = await shelf.chosen();
    if (chosen !== null && (await chosen.isSameEntry(folder))) return true;
    if (this.folder !== folder) return false;
    this.folder = chosen;
    if (chosen === null) this.set({ kind: 'none' });
    else this.again = 'whole';
    return false;
  }

  private async carryOnce(
    folder: FileSystemDirectoryHandle,
    shelf: FolderShelf,
    how: 'quick' | 'whole',
  ): Promise<void> {
    const { name } = folder;

    const notes = await shelf.read();
    const breathe = nowAndThen(KEEP, () => shelf.keep(), breathing());
    // The first look, and one each day, reads everything.
    const thorough = how === 'whole' && Date.now() - Number(localStorage.getItem(THOROUGH)) > DAY;
    const quick = how === 'quick' && notes.size > 0;
    let told = performance.now();
    const done = await carry(storeLibrary(this.deps.store), handleFolder(folder), notes, {
      now: this.deps.now(),
      thorough,
      quick,
      breathe: () => {
        if (this.folder !== folder) throw new Error('left');
        return breathe();
      },
      progress: (_what, n, total) => {
        if (quick || performance.now() - told < 200) return;
        told = performance.now();
        this.set({ kind: 'at work', name, done: n, total });
      },
    }).catch(async (e: unknown) => {
      // What was done is known, however far it came.
      await shelf.keep();
      throw e;
    });
    if (!quick || done.lines.length > 0) await shelf.keep();
    if (this.folder !== folder) return;
    if (thorough) localStorage.setItem(THOROUGH, String(Date.now()));
    if (!quick) {
      this.looked = Date.now();
      this.unreadable = done.unreadable.map(({ path, problems }) => {
        return { path, why: problems[0]?.message ?? 'it cannot be read' };
      });
    }
    if (this.since === null || done.lines.length > 0) this.since = Date.now();
    const { since, unreadable } = this;
    this.set({ kind: 'in step', name, since, waiting: done.waiting, unreadable });
    if (done.waiting > 0) this.lookAgain();
    else if (!quick) this.waits = 0;
    if (done.lines.length > 0) this.deps.told(done);
  }

  private set(state: FolderState): void {
    if (state.kind !== 'in step' && state.kind !== 'at work') this.since = null;
    this.state = state;
    for (const changed of this.listeners) changed();
  }
}

/** One window at a time, where the browser can say so. */
async function alone(work: () => Promise<void>): Promise<void> {
  const locks: LockManager | undefined = navigator.locks;
  if (locks === undefined) return work();
  await locks.request('degreewise-folder', work);
}

function inWords(e: unknown): string {
  if (e instanceof DOMException && e.name === 'NotFoundError') {
    return 'the folder is not where it was';
  }
  if (e instanceof DOMException && e.name === 'QuotaExceededError') {
    return 'there is no room for more files';
  }
  return e instanceof Error ? e.message : String(e);
}
