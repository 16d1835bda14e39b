import { type ReactNode, useCallback, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { onDemand } from '../../shared/on-demand';
import { useApp } from '../app-context';

const exporting = onDemand('The export', () =>
  import('./export-dialog').then((m) => m.ExportDialog),
);

/** For pages that export: opens the dialog with phrases; `dialog` goes anywhere on the page. */
export function useExport(): {
  readonly open: (phrases: readonly Phrase[]) => void;
  readonly dialog: ReactNode;
} {
  const { notices } = useApp();
  const [phrases, setPhrases] = useState<readonly Phrase[]>([]);
  const close = useCallback(() => setPhrases([]), []);
  const open = useCallback(
    (asked: readonly Phrase[]) => {
      exporting.get().then(
        () => setPhrases(asked),
        (reason: Error) => notices.trouble(reason.message),
      );
    },
    [notices],
  );
  const Dialog = exporting.known();
  const dialog =
    phrases.length === 0 || Dialog === null ? null : <Dialog phrases={phrases} onClose={close} />;
  return { open, dialog };
}
