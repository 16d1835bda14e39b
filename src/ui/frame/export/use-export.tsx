import { type ReactNode, useCallback, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { onDemand } from '../../shared/on-demand';
import { useApp } from '../app-context';
import type { ToExport } from './to-export';

const exporting = onDemand('The export', () =>
  import('./export-dialog').then((m) => m.ExportDialog),
);

const NOTHING: ToExport = { ids: [], phrases: null };
const ALONE: ReadonlyMap<string, Phrase> = new Map();

/** What belongs to phrases of a whole. */
type How = Pick<ToExport, 'along' | 'inOrder' | 'left'>;

/** For pages that export: opens the dialog with phrases; `dialog` goes anywhere on the page. */
export function useExport(): {
  /** @param how What accompanies phrases, by their ids, and whether they have an order. */
  readonly open: (phrases: readonly Phrase[], how?: How) => void;
  /** With phrases of the library, however many. */
  readonly openIds: (ids: readonly string[]) => void;
  readonly dialog: ReactNode;
} {
  const { notices, store } = useApp();
  const [what, setWhat] = useState(NOTHING);
  const close = useCallback(() => setWhat(NOTHING), []);
  const ask = useCallback(
    (asked: () => ToExport) => {
      exporting.get().then(
        // What was chosen from is closed in a task of its own: each of the two is a new style for all that is shown.
        () => setTimeout(() => setWhat(asked())),
        (reason: Error) => notices.trouble(reason.message),
      );
    },
    [notices],
  );
  const open = useCallback(
    (phrases: readonly Phrase[], how: How = {}) =>
      ask(() => ({ ids: phrases.map((p) => p.id), phrases, along: ALONE, ...how })),
    [ask],
  );
  const openIds = useCallback(
    (ids: readonly string[]) =>
      ask(() => ({ ids: ids.filter((id) => store.phrase(id) !== null), phrases: null })),
    [ask, store],
  );
  const Dialog = exporting.known();
  const dialog =
    what.ids.length === 0 || Dialog === null ? null : <Dialog what={what} onClose={close} />;
  return { open, openIds, dialog };
}
