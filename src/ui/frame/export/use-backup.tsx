import { type ReactNode, useCallback, useState } from 'react';
import { onDemand } from '../../shared/on-demand';
import { useApp } from '../app-context';

const backingUp = onDemand('The backup', () =>
  import('./backup-dialog').then((m) => m.BackupDialog),
);

/** Opens the dialog that saves all of the library; `dialog` goes anywhere on the page. */
export function useBackup(): { readonly open: () => void; readonly dialog: ReactNode } {
  const { notices } = useApp();
  const [shown, setShown] = useState(false);
  const open = useCallback(() => {
    backingUp.get().then(
      () => setShown(true),
      (reason: Error) => notices.trouble(reason.message),
    );
  }, [notices]);
  const Dialog = backingUp.known();
  const dialog = shown && Dialog !== null ? <Dialog onClose={() => setShown(false)} /> : null;
  return { open, dialog };
}
