import { useCallback, useEffect, useRef, useState } from 'react';
import { openUnkept, type Unkept, type UnkeptHead, type UnkeptStore } from '../../storage/unkept';
import { type App, useApp } from '../frame/app-context';
import { revisionOf } from '../frame/draft';
import { heldOnes, holdWork, type Release } from './hold-work';
import { type Resumed, resumed } from './unkept-data';
import { UnkeptWork } from './unkept-work';

/** In this tab, what stood on the page when it was left. */
const OPEN = 'degreewise-catch-open';

let opened: UnkeptStore | null = null;
/** One for all visits of the page: what one has still to write comes before what the next one reads. */
function theStore(): UnkeptStore {
  opened ??= openUnkept();
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
  const [list, setList] = useState<Pick<UnkeptHere, 'others' | 'elsewhere'>>(NONE);
  const [safe, setSafe] = useState(true);
  const [work, setWork] = useState<UnkeptWork | null>(null);
  const now = useRef<{ readonly work: UnkeptWork; readonly release: Release } | null>(null);
  const look = useCallback(async () => {
    const elsewhere = await heldOnes();
    const others = (await stillOpen(app, elsewhere)).filter((h) => h.id !== now.current?.work.id);
    setList({ others, elsewhere });
  }, [app]);
  const put = useCallback(
    (next: { readonly work: UnkeptWork; readonly release: Release } | null) => {
      const last = now.current;
      now.current = next;
      setWork(next?.work ?? null);
      if (next !== null) sessionStorage.setItem(OPEN, next.work.id);
      else sessionStorage.removeItem(OPEN);
      setSafe(true);
      void (async () => {
        await last?.work.flush();
        await last?.release();
        await look();
      })();
    },
    [look],
  );
  const workOn = useCallback(
    (id: string, from: Resumed | null) =>
      new UnkeptWork(
        id,
        theStore(),
        from,
        () => Date.parse(app.now()),
        (is) => setSafe(is),
      ),
    [app],
  );
  const begin = useCallback(() => {
    const id = app.newId();
    const hold = holdWork(id);
    put({ work: workOn(id, null), release: async () => await (await hold)?.() });
  }, [app, put, workOn]);
  /** @returns why it is not shown, in words; null where it is. */
  const resume = useCallback(
    async (id: string): Promise<readonly string[] | null> => {
      const release = await holdWork(id);
      if (release === null) return ['It is open in another window.'];
      const there = await theStore().read(id);
      const what = there === null ? null : resumed(there);
      if (there === null || what === null || !what.ok) {
        await release();
        return what === null || what.ok
          ? ['It is not there any more, or not whole.']
          : what.problems.map((p) => p.message);
      }
      knownToLibrary(app, there, what.value);
      show(what.value);
      put({ work: workOn(id, what.value), release });
      return null;
    },
    [app, put, show, workOn],
  );
  const goOn = async (id: string) => {
    const why = await resume(id);
    if (why !== null) app.notices.trouble('It cannot be gone on with.', why);
  };
  const throwAway = async (id: string) => {
    const shown = now.current?.work.id === id ? now.current : null;
    await shown?.work.flush();
    const before = await theStore().read(id);
    if (!(await (shown?.work.forget() ?? theStore().remove(id)))) {
      app.notices.trouble('It was not thrown away.', ['This browser did not do it.']);
      return;
    }
    if (shown !== null) {
      clear();
      put(null);
    } else await look();
    const undo = async () => {
      await putBack(before);
      // What was shown is shown again, unless something else is by now.
      if (shown === null || now.current !== null) await look();
      else await resume(id);
    };
    const back = { label: 'Undo', run: () => void undo() };
    app.notices.done('What was caught is thrown away.', ...(before === null ? [] : [back]));
  };
  useFirstLook({ now, resume, look });
  return { ...list, safe, work, begin, goOn, throwAway };
}

const NONE = { others: [], elsewhere: new Set<string>() } as const;

/** Shows again what stood here when the page was left, and writes what is not written when it is left now. */
function useFirstLook(of: {
  readonly now: { current: { readonly work: UnkeptWork; readonly release: Release } | null };
  readonly resume: (id: string) => Promise<unknown>;
  readonly look: () => Promise<void>;
}) {
  const { now, resume, look } = of;
  useEffect(() => {
    let here = true;
    const first = async () => {
      await look();
      const id = sessionStorage.getItem(OPEN);
      // Where something was begun meanwhile it stays.
      if (here && id !== null && now.current === null) await resume(id);
    };
    void first();
    const leave = () => void now.current?.work.flush();
    window.addEventListener('pagehide', leave);
    document.addEventListener('visibilitychange', leave);
    return () => {
      here = false;
      window.removeEventListener('pagehide', leave);
      document.removeEventListener('visibilitychange', leave);
      const last = now.current;
      now.current = null;
      void last?.work.flush().then(last.release);
    };
  }, [now, resume, look]);
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
    else await theStore().remove(head.id);
  }
  return open;
}

async function putBack(before: Unkept | null): Promise<void> {
  if (before === null) return;
  const { head, take, parts } = before;
  await theStore().put({ head, take, parts: new Map(parts.entries()) });
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
