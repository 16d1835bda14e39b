import { useMemo, useState, useSyncExternalStore } from 'react';
import type { Action } from '../actions';
import { useActions, useApp } from '../app-context';
import { FolderDialog } from './folder-dialog';
import { folderWords } from './folder-words';
import { keeperFor } from './keeper-of-app';

/** Where the library and its folder stand, in a line at the foot of the library. */
export function FolderLine() {
  const app = useApp();
  const keeper = keeperFor(app);
  const state = useSyncExternalStore(keeper.subscribe, keeper.get);
  const [open, setOpen] = useState(false);
  useActions(
    useMemo(
      (): readonly Action[] => [
        {
          id: 'library.folder',
          title: 'Keep a folder in step with the library',
          group: 'Library',
          words: 'sync folder files cloud share carry second home another device teacher',
          run: () => setOpen(true),
        },
      ],
      [],
    ),
  );
  if (state.kind === 'opening') return null;
  const words = folderWords(state);
  return (
    <>
      <p className="library-foot">
        {words !== '' && <span role="status">{words}</span>}{' '}
        {state.kind === 'asks' && (
          <button type="button" onClick={() => void keeper.allow()}>
            Allow it again
          </button>
        )}{' '}
        <button type="button" onClick={() => setOpen(true)}>
          {state.kind === 'none' || state.kind === 'no folders'
            ? 'Keep a folder in step …'
            : 'Folder …'}
        </button>
      </p>
      {open && <FolderDialog keeper={keeper} onClose={() => setOpen(false)} />}
    </>
  );
}
