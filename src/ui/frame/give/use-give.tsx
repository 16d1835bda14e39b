import { type ReactNode, useCallback, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { onDemand } from '../../shared/on-demand';
import { useApp } from '../app-context';

const giving = onDemand('What makes links', () =>
  import('./give-dialog').then((m) => m.GiveDialog),
);

/** Opens the dialog with the link of a phrase; `dialog` goes anywhere on the page. */
export function useGive(phrase: Phrase): { readonly open: () => void; readonly dialog: ReactNode } {
  const { notices } = useApp();
  const [shown, setShown] = useState(false);
  const open = useCallback(() => {
    giving.get().then(
      () => setShown(true),
      (reason: Error) => notices.trouble(reason.message),
    );
  }, [notices]);
  const Dialog = giving.known();
  const dialog =
    shown && Dialog !== null ? <Dialog phrase={phrase} onClose={() => setShown(false)} /> : null;
  return { open, dialog };
}
