import { type ReactNode, useCallback, useMemo, useState } from 'react';
import type { PhraseFacts } from '../../core/library/facts';
import { useApp } from '../frame/app-context';
import { useExport } from '../frame/export/use-export';
import { keepOrRemove } from '../frame/keeping';
import { onDemand } from '../shared/on-demand';
import type { FoundPhrases } from './found-phrases';

const lessons = onDemand('What makes lessons', () =>
  import('../frame/make-lesson').then((m) => m.makeLessonOf),
);
const ordering = onDemand('What puts in order', () =>
  import('./order-dialog').then((m) => m.OrderDialog),
);

/** What is chosen, and what can be done with phrases by their ids. */
export interface Choice {
  readonly ids: ReadonlySet<string>;
  /** In the order in which they are shown, those that are filtered out last. */
  readonly chosen: readonly string[];
  /** How many of those that are shown. */
  readonly shown: number;
  readonly choose: (id: string, on: boolean) => void;
  readonly setChosen: (ids: readonly string[]) => void;
  readonly exportIds: (ids: readonly string[]) => void;
  readonly order: (ids: readonly string[]) => void;
  readonly makeLesson: (ids: readonly string[]) => void;
  readonly remove: (ids: readonly string[]) => void;
  /** Goes anywhere on the page. */
  readonly dialogs: ReactNode;
}

const NOTHING: ReadonlySet<string> = new Set();

/** @param facts Of all phrases. @param found Of those that are shown, in their order. */
export function useChoice(facts: readonly PhraseFacts[], found: FoundPhrases): Choice {
  const app = useApp();
  const [ids, setIds] = useState(NOTHING);
  const { openIds: exportIds, dialog } = useExport();
  const [ordered, setOrdered] = useState<readonly string[]>([]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: looked at again when the library changes.
  const { chosen, shown } = useMemo(
    () => inOrder(found, ids, (id) => app.store.phrase(id) !== null),
    [app, found, facts, ids],
  );
  const trouble = useCallback((reason: Error) => app.notices.trouble(reason.message), [app]);
  const choose = useCallback((id: string, on: boolean) => {
    setIds((before) => {
      const next = new Set(before);
      if (on) next.add(id);
      else next.delete(id);
      return next;
    });
  }, []);
  const setChosen = useCallback((some: readonly string[]) => setIds(new Set(some)), []);
  const order = useCallback(
    (some: readonly string[]) => void ordering.get().then(() => setOrdered(some), trouble),
    [trouble],
  );
  const makeLesson = useCallback(
    (some: readonly string[]) =>
      void lessons
        .get()
        .then((make) => make(app, some))
        .catch(trouble),
    [app, trouble],
  );
  const remove = useCallback(
    (some: readonly string[]) => {
      setIds(NOTHING);
      void keepOrRemove(app, (k) => k.removePhrases(app, some)).then((came) => {
        // Nothing was removed: it can be tried again with the same.
        if (!came) setIds((now) => new Set([...now, ...some]));
      });
    },
    [app],
  );
  const Dialog = ordering.known();
  const dialogs = (
    <>
      {dialog}
      {ordered.length > 0 && Dialog !== null && (
        <Dialog ids={ordered} onClose={() => setOrdered([])} />
      )}
    </>
  );
  return { ids, chosen, shown, choose, setChosen, exportIds, order, makeLesson, remove, dialogs };
}

/** The chosen ids as they are shown, those that are filtered out last; and how many are shown. */
function inOrder(
  found: FoundPhrases,
  chosen: ReadonlySet<string>,
  isThere: (id: string) => boolean,
): { readonly chosen: readonly string[]; readonly shown: number } {
  if (chosen.size === 0) return NONE_CHOSEN;
  const shown = new Set(found.among(chosen));
  const rest = [...chosen].filter((id) => !shown.has(id) && isThere(id));
  return { chosen: [...shown, ...rest], shown: shown.size };
}

const NONE_CHOSEN = { chosen: [], shown: 0 };
