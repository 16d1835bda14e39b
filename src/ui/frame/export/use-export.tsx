import { lazy, type ReactNode, Suspense, useCallback, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';

const ExportDialog = lazy(fetchExport);

/** Fetches the dialog ahead of its use. */
export function fetchExport() {
  return import('./export-dialog').then((m) => ({ default: m.ExportDialog }));
}

/** For pages that export: opens the dialog with phrases; `dialog` goes anywhere on the page. */
export function useExport(): {
  readonly open: (phrases: readonly Phrase[]) => void;
  readonly dialog: ReactNode;
} {
  const [phrases, setPhrases] = useState<readonly Phrase[]>([]);
  const close = useCallback(() => setPhrases([]), []);
  const dialog =
    phrases.length === 0 ? null : (
      <Suspense fallback={null}>
        <ExportDialog phrases={phrases} onClose={close} />
      </Suspense>
    );
  return { open: setPhrases, dialog };
}
