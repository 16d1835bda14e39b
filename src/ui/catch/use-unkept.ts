import { useCallback, useEffect, useRef, useState } from 'react';
import { fail, ok, type Result } from '../../core/result';
import {
  openUnkept,
  type TakenOut,
  type Unkept,
  type UnkeptHead,
  type UnkeptStore,
} from '../../storage/unkept';
import { type App, useApp } from '../frame/app-context';
import { revisionOf } from '../frame/draft';
import { problemText } from '../shared/words';
import { heldOnes, holdWork, type Release, whileFree } from './hold-work';
import { type Resumed, resumed } from './unkept-data';
import { UnkeptWork } from './unkept-work';

/** In this tab, what stood on the page when it was left. */
const OPEN = 'degreewise-catch-open';

let opened: UnkeptStore | null = null;
/** One for all visits of the page: what one has still to write comes before what the next one reads. */
function theStore(): UnkeptStore {
  opened ??= openUnkept(undefined, whileFree);
  return opened;
}

export interface UnkeptHere {
  /** Others that are not kept yet, newest first. */
  readonly others: readonly UnkeptHead[];
  /** Those that another window has on its page. */
  readonly elsewhere: ReadonlySet<string>;
  /** Whether what stands here would be there again. */
  readonly safe: boolean;
  /** What follows what stands on the page; null where nothing does. */
  readonly work: UnkeptWork | null;
  /** Begins something new: what stood here is among the others. */
  readonly begin: () => void;
  readonly goOn: (id: string) => Promise<void>;
  readonly throwAway: (id: string) => Promise<void>;
}

/**
 * What was caught and is not in the library yet, over all visits of the page.
 * @param show Shows what was caught before, in its place.
 * @param clear Nothing stands on the page any more.
 */
export function useUnkept(show: (what: Resumed) => void, clear: () => void): UnkeptHere {
  const app = useApp();
  const [safe, setSafe] = useState(true);
  const [work, setWork] = useState<UnkeptWork | null>(null);
  const page = useRef<Page>({ now: null, turn: 0, left: true });
  const { list, look } = useOthers(app, page);
  const put = useCallback(
    (next: Standing | null) => {
      const last = page.current.now;
      page.current.now = next;
      page.current.turn++;
      setWork(next?.work ?? null);
      noteOpen(next?.work.id ?? null);
      setSafe(true);
      void (async () => {
        await last?.work.flush();
        await last?.release();
        await look();
      })();
    },
    [look],
  );
  const begin = useCallback(() => {
    const id = app.newId();
    const hold = holdWork(id);
    put({ work: workOn(app, id, null, setSafe), release: async () => await (await hold)?.() });
  }, [app, put]);
  /** @returns why it is not shown, in words; null where it is, or where it is not wanted any more. */
  const resume = useCallback(
    async (id: string): Promise<readonly string[] | null> => {
      const mine = ++page.current.turn;
      const release = await holdWork(id);
      if (release === null) return ['It is open in another window.'];
      const found = await readWhole(app, id);
      const { left, turn } = page.current;
      // Something else was begun or asked for meanwhile, or the page was left: it would be written over, or held for nobody.
      const isLate = left || turn !== mine;
      if (isLate || !found.ok) {
        await release();
        return isLate || found.ok ? null : found.problems.map(problemText);
      }
      show(found.value);
      put({ work: workOn(app, id, found.value, setSafe), release });
      return null;
    },
    [app, put, show],
  );
  const goOn = async (id: string) => {
    const why = await resume(id);
    if (why !== null) app.notices.trouble('It cannot be gone on with.', why);
  };
  const throwAway = async (id: string) => {
    const { now } = page.current;
    const shown = now?.work.id === id ? now : null;
    const out = await takeOut(id, shown);
    if (!out.ok) {
      app.notices.trouble('It was not thrown away.', out.problems.map(problemText));
      return look();
    }
    const before = out.value;
    if (shown !== null && page.current.now === shown) {
      clear();
      put(null);
    } else await look();
    const undo = async () => {
      if (!(await theStore().putBack(before))) {
        app.notices.trouble('It is not back.', ['This browser did not do it.']);
        return;
      }
      // What was shown is shown again, unless something else is by now.
      if (shown === null || page.current.now !== null || page.current.left) await look();
      else await resume(id);
    };
    app.notices.done('What was caught is thrown away.', { label: 'Undo', run: () => void undo() });
  };
  useFirstLook(page, resume, look);
  return { ...list, safe, work, begin, goOn, throwAway };
}

interface Standing {
  readonly work: UnkeptWork;
  readonly release: Release;
}

/** The page over its changes. */
interface Page {
  now: Standing | null;
  /** Goes up with all that is shown, begun or asked for; what was asked for before comes too late. */
  turn: number;
  left: boolean;
}

/** Those that do not stand on the page, and what looks for them anew. */
function useOthers(app: App, page: { readonly current: Page }) {
  const [list, setList] = useState<Pick<UnkeptHere, 'others' | 'elsewhere'>>(NONE);
  const look = useCallback(async () => {
    const elsewhere = await heldOnes();
    const open = await stillOpen(app, elsewhere);
    const here = page.current.now?.work.id;
    setList({ others: open.filter((h) => h.id !== here), elsewhere });
  }, [app, page]);
  return { list, look };
}

function workOn(app: App, id: string, from: Resumed | null, told: (safe: boolean) => void) {
  return new UnkeptWork(id, theStore(), from, () => Date.parse(app.now()), told);
}

/**
 * Takes it out of what is set aside.
 * @param shown Where it stands on this page.
 * @returns as it was; or why it is still there.
 */
async function takeOut(id: string, shown: Standing | null): Promise<Result<TakenOut>> {
  // Another window may have opened it since the list was made, and be at work in it.
  const release = shown === null ? await holdWork(id) : shown.release;
  if (release === null) return fail({ message: 'it is open in another window' });
  await shown?.work.flush();
  const before = await (shown?.work.forget() ?? theStore().takeOut(id));
  if (shown === null) await release();
  return before === null ? fail({ message: 'this browser did not do it' }) : ok(before);
}

/** What was caught before, with what the library has of it. */
async function readWhole(app: App, id: string): Promise<Result<Resumed>> {
  const there = await theStore().read(id);
  if (there === null) return fail({ message: 'it is not there any more, or not whole' });
  const found = resumed(there);
  if (found.ok) knownToLibrary(app, there, found.value);
  return found;
}

const NONE = { others: [], elsewhere: new Set<string>() } as const;

/** Shows again what stood here when the page was left, and writes what is not written when it is left now. */
function useFirstLook(
  page: { readonly current: Page },
  resume: (id: string) => Promise<unknown>,
  look: () => Promise<void>,
) {
  useEffect(() => {
    const { current } = page;
    current.left = false;
    const first = async () => {
      const { turn } = current;
      await look();
      const id = openBefore();
      // Where something was begun meanwhile it stays.
      if (!current.left && id !== null && current.turn === turn) await resume(id);
    };
    void first();
    const leave = () => void current.now?.work.flush();
    const change = () => {
      if (document.visibilityState === 'hidden') leave();
      // What another window had on its page may be free by now.
      else void look();
    };
    window.addEventListener('pagehide', leave);
    document.addEventListener('visibilitychange', change);
    return () => {
      current.left = true;
      window.removeEventListener('pagehide', leave);
      document.removeEventListener('visibilitychange', change);
      const last = current.now;
      current.now = null;
      void last?.work.flush().then(last.release);
    };
  }, [page, resume, look]);
}

/** Remembers what stands on the page. Where storage is switched off for this address it is among the others after a reload. */
function noteOpen(id: string | null): void {
  try {
    if (id === null) sessionStorage.removeItem(OPEN);
    else sessionStorage.setItem(OPEN, id);
  } catch {
    // Said above.
  }
}

function openBefore(): string | null {
  try {
    return sessionStorage.getItem(OPEN);
  } catch {
    return null;
  }
}

/** Those of which something is not in the library; the others go. */
async function stillOpen(app: App, held: ReadonlySet<string>): Promise<readonly UnkeptHead[]> {
  const all = await theStore().list();
  const open: UnkeptHead[] = [];
  for (const head of all) {
    // Somebody is at work in it.
    if (held.has(head.id)) {
      open.push(head);
      continue;
    }
    // What was kept and taken out again by an undo is open once more.
    if (head.open === 0) await app.store.opened();
    if (head.open > 0 || head.kept.some((id) => revisionOf(app, id) === null)) open.push(head);
    else await whileFree(head.id, async () => void (await theStore().takeOut(head.id)));
  }
  return open;
}

/** A page that died after a phrase was saved and before that was noted: it is not kept twice. */
function knownToLibrary(app: App, { head }: Unkept, { all, kept }: Resumed): void {
  for (const { caught, state, history } of all) {
    const { id } = caught.phrase;
    if (head.kept.includes(id) || kept.has(id) || revisionOf(app, id) === null) continue;
    // No revision has this number: what is corrected further is kept beside it.
    const phrase = history.done === 0 ? caught.phrase : state.phrase;
    kept.set(id, { caught: phrase, phrase, history, revision: -1 });
  }
}
