import { useEffect, useMemo, useState, useSyncExternalStore } from 'react';
import { type Action, keyName } from '../frame/actions';
import { useActions, useApp } from '../frame/app-context';
import { onDemand } from '../shared/on-demand';
import { LIST_KEY } from './frame-head';
import { useTypedAhead } from './typed-ahead';

type Dialog = typeof import('./action-dialog').ActionDialog;

/** What listens to the keys comes with the app, the list itself a little later. */
const dialog = onDemand('The list', () => import('./action-dialog').then((m) => m.ActionDialog));

/** Listens to keys and shows the list; there is one in the frame. */
export function ActionList({
  open,
  onOpen,
  onClose,
}: {
  readonly open: boolean;
  readonly onOpen: () => void;
  readonly onClose: () => void;
}) {
  const { actions: table, notices } = useApp();
  const actions = useSyncExternalStore(table.subscribe, table.list);
  const own = useMemo<readonly Action[]>(
    () => [
      {
        id: 'app.actions',
        title: 'Show everything that can be done here',
        group: 'Anywhere',
        key: LIST_KEY,
        run: onOpen,
      },
    ],
    [onOpen],
  );
  useActions(own);
  useEffect(() => {
    const onKey = (e: KeyboardEvent) => {
      if (e.isComposing || e.repeat) return;
      const name = keyName(e);
      const action = table.list().find((a) => a.key === name);
      // An open dialog has the keys to itself.
      if (action === undefined || document.querySelector('dialog[open]') !== null) return;
      e.preventDefault();
      if (action.blocked === undefined) action.run();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, [table]);
  const [Dialog, setDialog] = useState<Dialog | null>(dialog.known);
  useEffect(() => {
    if (!open || Dialog !== null) return;
    dialog.get().then(
      (fetched) => setDialog(() => fetched),
      (reason: Error) => {
        notices.trouble(reason.message);
        onClose();
      },
    );
  }, [open, Dialog, notices, onClose]);
  const ahead = useTypedAhead(open, Dialog === null, onClose);
  if (!open || Dialog === null) return null;
  return <Dialog actions={actions} ahead={ahead} onClose={onClose} />;
}
