/** One thing the person can do about a notice. */
export interface NoticeAction {
  readonly label: string;
  readonly run: () => void;
}

/** Labels of what Ctrl+Z and Ctrl+Y do where no page takes these keys itself. */
export const UNDO = 'Undo';
export const DO_AGAIN = 'Do again';

/** What the app says about something that happened. */
export interface Notice {
  readonly id: number;
  /** `trouble` stays until it is put away and is read out at once; `work` until it is done. */
  readonly kind: 'done' | 'offer' | 'trouble' | 'work';
  readonly text: string;
  /** Further lines: where and why, one each. */
  readonly lines: readonly string[];
  readonly actions: readonly NoticeAction[];
  /** Of work: how far it has come, from 0 to 1. */
  readonly part?: number;
}

/** Something long that is going on. */
export interface Work {
  /** From 0 to 1. */
  readonly tell: (part: number) => void;
  readonly end: () => void;
  /** Whether it is to stop. */
  readonly stopped: () => boolean;
}

export type NewNotice = Pick<Notice, 'kind' | 'text'> & Partial<Omit<Notice, 'id'>>;

/** The notices on screen, oldest first. */
export interface Notices {
  readonly subscribe: (changed: () => void) => () => void;
  readonly list: () => readonly Notice[];
  /** Shows a notice; returns its number, for putting it away. */
  readonly show: (notice: NewNotice) => number;
  /** 'Kept as …': something was done. Goes by itself, later where it offers something to do. */
  readonly done: (text: string, ...actions: readonly NoticeAction[]) => number;
  /** Something did not work: what, and line by line where and why. */
  readonly trouble: (text: string, lines?: readonly string[]) => number;
  /** 'Removing 10,000 phrases …': something takes long, and can be stopped. */
  readonly work: (text: string) => Work;
  readonly dismiss: (id: number) => void;
  /** While the pointer or the focus is on them none leaves by itself. */
  readonly hold: (on: boolean) => void;
}

/** No more than so many results are kept on screen; offers and trouble stay until put away. */
const MOST_DONE = 2;
/** Milliseconds after which a notice goes by itself: longer where there is something to do about it. */
const STAYS = 8_000;
const OFFER_STAYS = 20_000;
/** Milliseconds until one that was held is looked at again. */
const AGAIN = 2_000;

/** No notices yet; the app has one list of them. */
export function createNotices(): Notices {
  let notices: readonly Notice[] = [];
  let last = 0;
  let held = false;
  const listeners = new Set<() => void>();
  const set = (next: readonly Notice[]) => {
    notices = next;
    for (const changed of listeners) changed();
  };
  const dismiss = (id: number) => {
    // What goes from under the pointer or the focus does not tell.
    held = false;
    if (notices.some((n) => n.id === id)) set(notices.filter((n) => n.id !== id));
  };
  const leaveLater = (id: number, after: number) => {
    setTimeout(() => {
      // Who is about to use it, or has just come to it, has the time to.
      if (held) leaveLater(id, AGAIN);
      else dismiss(id);
    }, after);
  };
  const show = (n: NewNotice): number => {
    const id = ++last;
    const all = [...notices, { lines: [], actions: [], ...n, id }];
    const done = all.filter((x) => x.kind === 'done');
    const old = new Set(done.slice(0, Math.max(0, done.length - MOST_DONE)));
    set(all.filter((x) => !old.has(x)));
    if (n.kind === 'done' || n.kind === 'offer')
      leaveLater(id, (n.actions ?? []).length === 0 ? STAYS : OFFER_STAYS);
    return id;
  };
  return {
    subscribe: (changed) => {
      listeners.add(changed);
      return () => listeners.delete(changed);
    },
    list: () => notices,
    show,
    done: (text, ...actions) => show({ kind: 'done', text, actions }),
    work: (text) => {
      let stopped = false;
      const stop = {
        label: 'Stop',
        run: () => {
          stopped = true;
        },
      };
      const id = show({ kind: 'work', text, part: 0, actions: [stop] });
      return {
        tell: (part) => set(notices.map((n) => (n.id === id ? { ...n, part } : n))),
        end: () => dismiss(id),
        stopped: () => stopped,
      };
    },
    trouble: (text, lines = []) => show({ kind: 'trouble', text, lines }),
    dismiss,
    hold: (on) => {
      held = on;
    },
  };
}
